import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

export type Decimal = '.' | ','

/** Beyond this nothing in a log is a real quantity; 15 digits are also what a double holds exactly. */
export const numberLimit = 1e15

/** A plain number: digits with at most one decimal sign, and a power of ten as spreadsheets write it. */
export const plainNumber = '[+-]?(?:[0-9]+[.]?[0-9]*|[.][0-9]+)(?:[eE][+-]?[0-9]+)?'

/** Digits in well-formed groups of three; every separator of one number is the same. */
export function groupedNumber(decimal: Decimal): string {
  const point = decimal === '.' ? '[.]' : ','
  const group = (mark: string) => `(?:${mark}[0-9]{3})+`
  const marks = [decimal === '.' ? ',' : '[.]', ' ', "['’]"]
  return `[+-]?[0-9]{1,3}(?:${marks.map(group).join('|')})(?:${point}[0-9]*)?`
}

const plain = new RegExp(`^${plainNumber}$`)
const grouped = { '.': new RegExp(`^${groupedNumber('.')}$`), ',': new RegExp(`^${groupedNumber(',')}$`) }

/**
 * A number as a person or an export writes it: sign, thousands in groups of three (`,` or `.`, space,
 * apostrophe), one decimal sign as the profile says. `1.500` under a decimal comma is 1500.
 * Not-a-number, infinities and magnitudes from 1e15 are refused.
 */
export function readNumber(text: string, decimal: Decimal = '.'): Read<number> {
  const cell = tidy(text)?.replace(/^[−–](?=[0-9.,])/, '-')
  if (cell === undefined) return bad('blank')
  const candidate = asPlain(cell, decimal)
  if (candidate === null) return bad(numberReason(cell))
  const value = Number(candidate)
  if (!(Math.abs(value) < numberLimit)) return bad('number is too large')
  return good(value)
}

function asPlain(cell: string, decimal: Decimal): string | null {
  if (grouped[decimal].test(cell)) {
    const joined = cell.replace(decimal === '.' ? /[, '’]/g : /[. '’]/g, '')
    return joined.replace(',', '.')
  }
  if (decimal === ',') {
    if (cell.includes('.')) return null
    const dotted = cell.replace(',', '.')
    return plain.test(dotted) ? dotted : null
  }
  return plain.test(cell) ? cell : null
}

function numberReason(cell: string): string {
  if (/^[+-]?(nan|inf|infinity)$/i.test(cell)) return 'not a finite number'
  if (/^[+-]?[0-9][0-9.,' ’]*$/.test(cell)) return 'digits are not grouped as a number'
  return 'not a number'
}

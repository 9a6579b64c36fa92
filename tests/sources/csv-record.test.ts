import { dsvFormat } from 'd3-dsv'
import { describe, expect, test } from 'vitest'
import { csvCell, readRecord } from '../../src/sources/csv-record.ts'
import fc from '../chance.ts'

function readAll(text: string, delimiter = ','): { cells: string[]; trouble: string | null }[] {
  const records = []
  for (let at = 0; at < text.length; ) {
    const record = readRecord(text, at, delimiter)
    records.push({ cells: record.cells, trouble: record.trouble })
    at = record.end
  }
  return records
}

describe('a CSV record', () => {
  test.each<[string, string, string[][]]>([
    ['bare cells', 'a,b,c\n', [['a', 'b', 'c']]],
    ['empty cells', ',,\n', [['', '', '']]],
    ['no line break at the end', 'a,b', [['a', 'b']]],
    [
      'CRLF',
      'a,b\r\nc,d\r\n',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    ['a delimiter in quotes', '"a,b",c\n', [['a,b', 'c']]],
    ['doubled quotes', '"say ""no""",c\n', [['say "no"', 'c']]],
    ['a line break in quotes', '"a\nb",c\n', [['a\nb', 'c']]],
    ['an inch mark in a bare cell', '2" hose,c\n', [['2" hose', 'c']]],
    ['spaces around quotes', ' "a,b" ,c\n', [['a,b', 'c']]],
    ['spaces in bare cells stay', ' a ,b \n', [[' a ', 'b ']]],
    ['an empty quoted cell', '"",b\n', [['', 'b']]],
  ])('reads %s', (_, text, wanted) => {
    expect(readAll(text).map(({ cells }) => cells)).toEqual(wanted)
  })

  test('names what is wrong with its quotation marks', () => {
    expect(readRecord('a,"b\nc', 0, ',')).toMatchObject({
      isOpen: true,
      trouble: 'a quotation mark is opened and never closed',
    })
    const broken = readRecord('"a"b,c\nd', 0, ',')
    expect(broken.trouble).toBe('there is text behind a closing quotation mark')
    expect(broken.end).toBe(7)
  })

  test('what is written is read again, here and by another reader', () => {
    const cell = fc.string({
      unit: fc.constantFrom('a', 'é', '"', ',', ';', '\n', '\r', ' ', '\t', '0', '🜁'),
    })
    const row = fc.array(cell, { minLength: 2, maxLength: 6 })
    fc.assert(
      fc.property(
        fc.array(row, { minLength: 1 }),
        fc.constantFrom(',', ';', '\t', '|'),
        (rows, delimiter) => {
          const text = rows
            .map((cells) => `${cells.map((each) => csvCell(each, delimiter)).join(delimiter)}\n`)
            .join('')
          expect(readAll(text, delimiter).map(({ cells }) => cells)).toEqual(rows)
          expect(dsvFormat(delimiter).parseRows(text)).toEqual(rows)
        },
      ),
      { numRuns: 300 },
    )
  })
})

import type { BlockClock } from './clock-groups.ts'
import { bases, type Offset } from './clock-offsets.ts'
import type { Speaker } from './clock-voices.ts'
import { type Filled, Growing } from './growing.ts'

const clockColumns = {
  source: 'INTEGER',
  aircraft: 'INTEGER',
  offset_s: 'DOUBLE',
  pairs: 'INTEGER',
  basis_no: 'TINYINT',
  spread_s: 'DOUBLE',
  start_s: 'DOUBLE',
  end_s: 'DOUBLE',
  is_open: 'TINYINT',
  own_s: 'DOUBLE',
  own_is_strong: 'TINYINT',
  own_against: 'TINYINT',
} as const
export type ClockColumn = keyof typeof clockColumns

/** Clocks and their offsets as columns of numbers; `own_s` is NaN where its own day says nothing. */
export function clockRows(clocks: readonly BlockClock[], offsets: readonly Offset[]): Growing<ClockColumn> {
  const rows = new Growing(clockColumns, clocks.length)
  clocks.forEach(({ block, pairs, spread, isOpen, own }, index) => {
    const { offset, basis } = offsets[index]!
    const row = rows.add()
    const { columns } = rows
    columns.source[row] = block.source
    columns.aircraft[row] = block.aircraft
    columns.offset_s[row] = offset + 0
    columns.pairs[row] = pairs
    columns.basis_no[row] = bases.indexOf(basis)
    columns.spread_s[row] = spread
    columns.start_s[row] = block.start
    columns.end_s[row] = block.end
    columns.is_open[row] = isOpen ? 1 : 0
    columns.own_s[row] = own?.offset ?? Number.NaN
    columns.own_is_strong[row] = own?.isStrong ? 1 : 0
    columns.own_against[row] = own?.against ?? 0
  })
  return rows
}

const speakerColumns = {
  aircraft: 'INTEGER',
  source: 'INTEGER',
  start: 'DOUBLE',
  offset: 'DOUBLE',
  isStrong: 'TINYINT',
  against: 'TINYINT',
} as const
export type SpeakerColumn = keyof typeof speakerColumns

/** Speakers as columns of numbers. */
export function speakerRows(speakers: readonly Speaker[]): Growing<SpeakerColumn> {
  const rows = new Growing(speakerColumns, speakers.length)
  for (const speaker of speakers) {
    const row = rows.add()
    const { columns } = rows
    columns.aircraft[row] = speaker.aircraft
    columns.source[row] = speaker.source
    columns.start[row] = speaker.start
    columns.offset[row] = speaker.offset
    columns.isStrong[row] = speaker.isStrong ? 1 : 0
    columns.against[row] = speaker.against
  }
  return rows
}

/** The speakers of such columns. */
export function speakersIn({ columns }: Filled<SpeakerColumn>): Speaker[] {
  const { aircraft, source, start, offset, isStrong, against } = columns
  return Array.from(aircraft, (number: number, row: number) => ({
    aircraft: number,
    source: source[row]!,
    start: start[row]!,
    offset: offset[row]!,
    isStrong: isStrong[row] === 1,
    against: against[row]!,
  }))
}

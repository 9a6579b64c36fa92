import { type Column, fieldName, type Kind, kindOf, kinds } from '../kinds/index.ts'
import { readNumber, type Unit, units } from '../values/index.ts'
import { guessTimes } from './draft-times.ts'
import { headerText, type Meaning, meaningOf, unitIn } from './header-words.ts'

/** A column of an unknown file: its header, what that is likely to mean, and some of its values. */
export interface DraftColumn {
  header: string
  meaning: Meaning | null
  samples: string[]
}

export interface DraftField {
  from: string | string[]
  unit?: Unit
  format?: string | string[]
  notes?: string
}

export interface DraftRecord {
  kind: string
  fields: Record<string, DraftField>
  constants: Record<string, string>
  needsZone: boolean
  unsure: string[]
}

/** Meanings that fill a field of a kind under another name than their own. */
const places: Partial<Record<Kind['name'], Partial<Record<string, readonly Meaning[]>>>> = {
  drop: { coverage_level: ['coverage'] },
  load: { gauge_before: ['before'], gauge_after: ['after'], ticket: ['ticket', 'record'] },
  flight: { from_base: ['from', 'base'], to_base: ['to'] },
  position: { event: ['event', 'type'] },
}

const dimensions: Partial<Record<Column['type'], readonly Unit[]>> = {
  volume: ['gal_us', 'gal_imp', 'hL', 'L', 'lb', 'kg'],
  length: ['ft', 'm'],
  speed: ['kt', 'km/h', 'mph'],
  duration: ['s', 'min'],
}

/** The kind that explains the most of these columns, all of its required ones first. */
export function likelyKind(columns: readonly DraftColumn[]): Kind {
  const has = (...meanings: Meaning[]) =>
    meanings.filter((each) => columns.some(({ meaning }) => meaning === each)).length
  const scores: [Kind['name'], number][] = [
    [
      'drop',
      has(
        'fire',
        'fraction',
        'coverage',
        'doors',
        'openings',
        'duration',
        'position',
        'latitude',
        'purpose',
        'height',
      ) *
        2 +
        has('volume', 'fluid'),
    ],
    [
      'load',
      has('ticket', 'before', 'after', 'target', 'overflow', 'method') * 3 +
        has('volume', 'fluid', 'base', 'started'),
    ],
    ['flight', has('off', 'on') === 2 ? 6 + has('hours', 'from', 'to') * 2 : has('hours')],
    [
      'position',
      has('latitude', 'longitude') === 2 && has('volume', 'fire', 'fraction', 'coverage') === 0
        ? 6 + has('altitude', 'groundspeed', 'time', 'moment')
        : 0,
    ],
  ]
  const named = kinds
    .map((kind) => [kind.name, namedColumns(kind, columns)] as const)
    .filter(([, share]) => share >= 1)
  for (const [name] of named) scores.push([name, 20 + kindOf(name).columns.length / 100])
  const [best] = scores.reduce((a, b) => (b[1] > a[1] ? b : a))
  return kindOf(best)
}

/** Share of a kind's required columns whose own names are among the headers. */
function namedColumns(kind: Kind, columns: readonly DraftColumn[]): number {
  const required = kind.columns.filter(({ required }) => required)
  return required.filter(({ name }) => ownColumn(name, columns) !== undefined).length / required.length
}

function ownColumn(name: string, columns: readonly DraftColumn[]): DraftColumn | undefined {
  const wanted = [headerText(name), headerText(fieldName(name))]
  return columns.find(({ header }) => wanted.includes(headerText(header)))
}

/** A record of this kind from the columns; what is required and not found becomes a constant to be filled in. */
export function draftRecord(kind: Kind, columns: readonly DraftColumn[]): DraftRecord {
  const record: DraftRecord = { kind: kind.name, fields: {}, constants: {}, needsZone: false, unsure: [] }
  const taken = new Set<string>()
  const take = (column: DraftColumn | undefined) => {
    if (column) taken.add(column.header)
    return column?.header
  }
  const find = (...meanings: readonly (Meaning | string)[]) =>
    meanings
      .map((each) => columns.find(({ meaning, header }) => meaning === each && !taken.has(header)))
      .find(Boolean)
  for (const column of kind.columns) {
    const name = fieldName(column.name)
    const own = ownColumn(column.name, columns)
    if (column.type === 'time') timeField(record, kind, column, columns, find, take)
    else if (column.name === 'latitude' || column.name === 'longitude') continue
    else {
      const found = own && !taken.has(own.header) ? own : find(...(places[kind.name]?.[name] ?? [name]))
      if (found) record.fields[name] = plainField(column, found, record)
      take(found)
    }
    if (column.required && !(name in record.fields)) {
      record.constants[name] = column.choices?.[0] ?? 'FILL-IN'
      record.unsure.push(
        `no column seems to hold ${name} (${column.about}): name one in fields, or correct its constant`,
      )
    }
  }
  positionField(record, kind, find)
  return record
}

type Find = (...meanings: readonly (Meaning | string)[]) => DraftColumn | undefined

function timeField(
  record: DraftRecord,
  kind: Kind,
  column: Column,
  columns: readonly DraftColumn[],
  find: Find,
  take: (column: DraftColumn | undefined) => string | undefined,
): void {
  const name = column.name
  const isMain = name === kind.time
  const words: Record<string, Meaning[]> = {
    off_at: ['off'],
    on_at: ['on'],
    ordered_at: ['ordered'],
    started_at: ['started'],
  }
  const date = columns.find(({ meaning }) => meaning === 'date')
  const own =
    ownColumn(name, columns) ??
    find(...(words[name] ?? (isMain || column.required ? ['moment', 'time'] : [])))
  const alone = own ?? (isMain || column.required ? date : undefined)
  if (!alone) return
  take(alone)
  const isJoined =
    date !== undefined &&
    date !== alone &&
    !alone.samples.some((text) => /\d.*[-/. ].*\d.*[:T ]?\d/.test(text) && text.length >= 10)
  const used = isJoined ? [date, alone] : [alone]
  const samples = alone.samples
    .map((text, row) => (isJoined ? `${date.samples[row] ?? ''} ${text}` : text))
    .filter((text, row) => text.trim() !== '' && alone.samples[row] !== '')
  const guess = guessTimes(samples)
  const field: DraftField = { from: used.length > 1 ? used.map(({ header }) => header) : alone.header }
  if (guess.formats.length > 0) field.format = guess.formats.length > 1 ? guess.formats : guess.formats[0]!
  if (!guess.hasOffset) record.needsZone = true
  if (guess.isAmbiguous)
    record.unsure.push(`${name}: month and day could be the other way round in every line seen`)
  if (guess.unread.length > 0) record.unsure.push(`${name}: no format was found for '${guess.unread[0]}'`)
  if (samples.length === 0) record.unsure.push(`${name}: no times were there to learn the format from`)
  record.fields[name] = field
}

function plainField(column: Column, found: DraftColumn, record: DraftRecord): DraftField {
  const field: DraftField = { from: found.header }
  const among = dimensions[column.type]
  if (!among) return field
  const named = unitIn(found.header, among)
  const isWritten = found.samples.some((text) => /[a-z]/i.test(text))
  field.unit = named ?? among[0]!
  if (named === null && !isWritten)
    record.unsure.push(
      `${fieldName(column.name)}: the unit of '${found.header}' is taken to be ${field.unit}`,
    )
  if (units[field.unit].dimension === 'weight')
    record.unsure.push(`'${found.header}' is a weight: check density_lb_per_gal`)
  return field
}

function positionField(record: DraftRecord, kind: Kind, find: Find): void {
  if (!kind.columns.some(({ name }) => name === 'latitude')) return
  const latitude = find('latitude')
  const longitude = find('longitude')
  const one = find('position')
  const from = latitude && longitude ? [latitude.header, longitude.header] : one?.header
  if (from) {
    record.fields.position = { from }
    delete record.constants.latitude
    delete record.constants.longitude
  }
}

/** True when most of the numbers use a comma for the decimal sign and none a point. */
export function usesDecimalComma(columns: readonly DraftColumn[]): boolean {
  const numbers = columns
    .flatMap(({ samples }) => samples)
    .filter((text) => /^[+-]?\d[\d.,]*[.,]\d+$/.test(text.trim()))
  const commas = numbers.filter((text) => readNumber(text, ',').ok && !readNumber(text, '.').ok)
  const points = numbers.filter((text) => readNumber(text, '.').ok && !readNumber(text, ',').ok)
  return commas.length > 0 && commas.length >= points.length
}

export function draftColumns(header: readonly string[], rows: readonly (readonly string[])[]): DraftColumn[] {
  return header.map((name, index) => ({
    header: name,
    meaning: meaningOf(name),
    samples: rows.map((row) => row[index]?.trim() ?? ''),
  }))
}

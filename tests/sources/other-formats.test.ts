import { gzipSync } from 'node:zlib'
import { afterAll, describe, expect, test } from 'vitest'
import writeWorkbook from 'write-excel-file/node'
import { dropProfile, Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())
const T = '2026-07-04T18:30:00Z'
const sheet = dropProfile('sheet', ['Time', 'Tanker', 'Gals'], { format: 'jsonl' })

describe('JSON lines', () => {
  const lines = (...objects: unknown[]) =>
    objects.map((each) => `${typeof each === 'string' ? each : JSON.stringify(each)}\n`).join('')

  test('keys are headers, whenever they first appear; values are text', async () => {
    const { landing, rows } = await bench.landed(
      'a.jsonl',
      lines(
        { Time: T, Tanker: 101, Gals: 900.5 },
        { Gals: null, Tanker: 'T"1', Time: T, Note: ['x', 1], Hot: true },
        { Late: { a: 1 }, Time: T, Tanker: '', Gals: 0 },
      ),
      [sheet],
    )
    expect(landing.header).toEqual(['Time', 'Tanker', 'Gals', 'Note', 'Hot', 'Late'])
    expect(rows.map(({ line, cells }) => [line, ...cells])).toEqual([
      [1, T, '101', '900.5', null, null, null],
      [2, T, 'T"1', null, '["x",1]', 'true', null],
      [3, T, null, '0', null, null, '{"a":1}'],
    ])
  })

  test('a key that first appears after the first bytes is a header too', async () => {
    const many = lines(...Array.from({ length: 6000 }, (_, index) => ({ Time: T, Tanker: index, Gals: 1 })), {
      Time: T,
      Tanker: 1,
      Gals: 2,
      Last: 'x',
    })
    const { landing, rows } = await bench.landed('late.jsonl', many, [sheet])
    expect(landing.header).toEqual(['Time', 'Tanker', 'Gals', 'Last'])
    expect(landing.rowCount).toBe(6001)
    expect(rows.at(-1)).toEqual({ line: 6001, problem: null, surplus: null, cells: [T, '1', '2', 'x'] })
  })

  test('a long number keeps its digits', async () => {
    const { rows } = await bench.landed(
      'long.jsonl',
      `{"Time":"${T}","Tanker":12345678901234567890,"Gals":"a, 1234567890123456, b"}\n`,
      [sheet],
    )
    expect(rows[0]!.cells).toEqual([T, '12345678901234567890', 'a, 1234567890123456, b'])
  })

  test('a line that is no object is a problem row; blank lines are none', async () => {
    const text = lines(
      { Time: T, Tanker: 1, Gals: 1 },
      '',
      '[1]',
      '{"Time":',
      { Time: T, Tanker: 2, Gals: 2 },
      `{"Time":"${'x'.repeat(1_100_000)}"}`,
    )
    const { rows, landing } = await bench.landed('bad.jsonl', text, [sheet])
    expect(rows.map(({ line, problem }) => [line, problem])).toEqual([
      [1, null],
      [3, 'the line is not a JSON object'],
      [4, 'the line is not JSON'],
      [5, null],
      [6, 'the line is longer than 1 MB'],
    ])
    expect(landing).toMatchObject({ rowCount: 5, problemCount: 3 })
  })

  test('gzip and utf-16 too; canonical keys need no profile', async () => {
    const text = lines({ dropped_at: T, aircraft: 'N801ZY', volume_gal: 900 })
    for (const bytes of [gzipSync(text), Buffer.from(`\ufeff${text}`, 'utf16le')]) {
      const { recognized, rows } = await bench.landed('drop.jsonl', bytes)
      expect(recognized.profile.name).toBe('canonical-drop')
      expect(rows.map(({ cells }) => cells)).toEqual([[T, 'N801ZY', '900']])
    }
  })

  test('one JSON list is refused with what to do', async () => {
    expect(await bench.refused('list.json', '[\n{"Time": 1}\n]\n', [sheet])).toMatchObject({
      what: 'the file is one JSON list',
    })
  })

  test('a file whose lines are no objects is refused with what to do', async () => {
    for (const text of ['{"Time": 1, "Volume": \n', '{"Time": 1,,}\n{}}\n'])
      expect(await bench.refused('cut.jsonl', text, [])).toMatchObject({
        what: 'no line at the start of the file is a JSON object',
      })
  })
})

type Cell = Parameters<typeof writeWorkbook>[0] extends (infer Row)[]
  ? Row extends (infer Each)[]
    ? Each
    : never
  : never
const workbook = async (sheets: Record<string, unknown[][]>): Promise<Buffer> => {
  const data = Object.entries(sheets).map(([name, rows]) => ({
    sheet: name,
    data: rows.map((row) => row.map(cell)),
  }))
  return (await writeWorkbook(data as never)).toBuffer()
}
function cell(value: unknown): Cell {
  if (value === null) return null as Cell
  if (value instanceof Date) return { value, type: Date, format: 'yyyy-mm-dd hh:mm:ss' } as unknown as Cell
  return { value } as unknown as Cell
}

describe('a workbook', () => {
  const when = new Date(Date.UTC(2026, 6, 4, 18, 30, 15))
  const day = new Date(Date.UTC(2026, 6, 4))

  test('gives text: dates as ISO, numbers in short, rows by their number in the sheet', async () => {
    const bytes = await workbook({
      Drops: [
        ['Night sheet'],
        [null],
        ['Time', 'Tanker', 'Gals', 'Day', 'Ok'],
        [when, 101, 0.1 + 0.2, day, true],
        [null, null, null, null, null],
        [day, ' T 2 ', 2850, day, null],
      ],
    })
    const { recognized, landing, rows } = await bench.landed('a.xlsx', bytes, [
      dropProfile('book', ['Time', 'Tanker', 'Gals'], { format: 'xlsx' }),
    ])
    expect(recognized).toMatchObject({ sheet: 'Drops', headerLine: 3, container: 'xlsx' })
    expect(rows.map(({ line, cells }) => [line, ...cells])).toEqual([
      [4, '2026-07-04T18:30:15', '101', '0.3', '2026-07-04', 'true'],
      [6, '2026-07-04T00:00:00', ' T 2 ', '2850', '2026-07-04', null],
    ])
    expect(landing).toMatchObject({ rowCount: 2, problemCount: 0, direct: false })
  })

  test('is read from the sheet and row that the profile names', async () => {
    const bytes = await workbook({
      Cover: [
        ['Time', 'Tanker', 'Gals'],
        ['x', 'x', 'x'],
      ],
      Drops: [['a'], ['Time', 'Tanker', 'Gals'], [T, '1', '2']],
    })
    const named = dropProfile('named', ['Time', 'Tanker', 'Gals'], {
      format: 'xlsx',
      xlsx: { sheet: 'drops', header_row: 2 },
    })
    expect(
      (await bench.landed('b.xlsx', bytes, [named])).rows.map(({ line, cells }) => [line, ...cells]),
    ).toEqual([[3, T, '1', '2']])
    const packed = await bench.landed('b.xlsx.gz', gzipSync(bytes), [named])
    expect(packed.rows).toHaveLength(1)
  })

  test('shows a header line again; a note beside the table is a column without a name', async () => {
    const bytes = await workbook({
      S: [
        ['Time', 'Tanker', 'Gals'],
        [T, '1', '2', 'a note'],
        ['Time', 'Tanker', 'Gals'],
        [T, '2', '3'],
      ],
    })
    const { landing, rows } = await bench.landed('c.xlsx', bytes, [
      dropProfile('book', ['Time', 'Tanker', 'Gals'], { format: 'xlsx' }),
    ])
    expect(rows.map(({ line, problem }) => [line, problem])).toEqual([
      [2, null],
      [3, 'the header line again'],
      [4, null],
    ])
    expect(landing.header).toEqual(['Time', 'Tanker', 'Gals', ''])
    expect(rows[0]!.cells).toEqual([T, '1', '2', 'a note'])
  })

  test('needs no profile with canonical names', async () => {
    const bytes = await workbook({
      drops: [
        ['dropped_at', 'aircraft', 'volume_gal'],
        [T, 'N801ZY', 900],
      ],
    })
    const { recognized, rows } = await bench.landed('drop.xlsx', bytes)
    expect(recognized.profile.name).toBe('canonical-drop')
    expect(rows[0]!.cells).toEqual([T, 'N801ZY', '900'])
  })

  test('that cannot be opened is refused with the reason', async () => {
    const whole = await workbook({ S: [['Time']] })
    const old = Buffer.concat([
      Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]),
      Buffer.alloc(600),
    ])
    const locked = Buffer.concat([old, Buffer.from('EncryptedPackage', 'utf16le'), Buffer.alloc(40)])
    const zip = 'the file is a zip archive, but no workbook that can be read'
    expect(await bench.refused('cut.xlsx', whole.subarray(0, 300))).toMatchObject({ what: zip })
    expect(
      await bench.refused('fake.xlsx', Buffer.concat([Buffer.from('PK\x03\x04'), Buffer.alloc(200)])),
    ).toMatchObject({ what: zip })
    expect(await bench.refused('old.xls', old)).toMatchObject({
      what: 'the file is of the old binary .xls kind',
    })
    expect(await bench.refused('locked.xlsx', locked)).toMatchObject({
      what: 'the workbook is protected with a password',
    })
  })
})

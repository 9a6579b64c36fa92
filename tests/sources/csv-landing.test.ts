import { gzipSync } from 'node:zlib'
import { dsvFormat } from 'd3-dsv'
import { afterAll, describe, expect, test } from 'vitest'
import { readRecord } from '../../src/sources/csv-record.ts'
import { isProblem } from '../../src/sources/index.ts'
import fc from '../chance.ts'
import { dropProfile, Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

const sheet = dropProfile('sheet', ['Time', 'Tanker', 'Gals'])
const rowsOf = (...rows: [number, ...(string | null)[]][]) =>
  rows.map(([line, ...cells]) => ({ line, problem: null, surplus: null, cells }))
const T = '2026-07-04T18:30:00Z'

describe('a file whose lines are all plain is read as it stands', () => {
  test.each<[string, string]>([
    ['bare cells', `Time,Tanker,Gals\n${T},101,900\n${T},102,950\n`],
    ['quoted cells', `Time,Tanker,Gals\n"${T}","101","900"\n${T},"102",950\n`],
    ['CRLF', `Time,Tanker,Gals\r\n${T},101,900\r\n${T},102,950\r\n`],
    ['a byte order mark', `\ufeffTime,Tanker,Gals\n${T},101,900\n${T},102,950\n`],
    ['semicolons', `Time;Tanker;Gals\n${T};101;900\n${T};102;950\n`],
    ['tabs', `Time\tTanker\tGals\n${T}\t101\t900\n${T}\t102\t950\n`],
    ['pipes', `Time|Tanker|Gals\n${T}|101|900\n${T}|102|950\n`],
    ['no line break at the end', `Time,Tanker,Gals\n${T},101,900\n${T},102,950`],
    ['empty lines at the end', `Time,Tanker,Gals\n${T},101,900\n${T},102,950\n\n\n`],
    ['headers in other letters and spaces', `TIME, tanker\u00a0,"Gals"\n${T},101,900\n${T},102,950\n`],
  ])('%s', async (_, text) => {
    const { landing, rows } = await bench.landed('plain.csv', text, [sheet])
    expect(landing).toMatchObject({ direct: true, isScratch: false, rowCount: 2, notes: [] })
    expect(rows).toEqual(rowsOf([2, T, '101', '900'], [3, T, '102', '950']))
  })

  test('title lines stand before the header', async () => {
    const text = `Night sheet\n\nTime,Tanker,Gals\n${T},101,900\n`
    const { landing, rows, recognized } = await bench.landed('title.csv', text, [sheet])
    expect(recognized.headerLine).toBe(3)
    expect(landing.direct).toBe(true)
    expect(rows).toEqual(rowsOf([4, T, '101', '900']))
  })

  test('a header alone lands with no rows', async () => {
    const { landing, rows } = await bench.landed('header.csv', 'Time,Tanker,Gals\n', [sheet])
    expect(landing.rowCount).toBe(0)
    expect(rows).toEqual([])
  })
})

describe('other bytes give the same rows', () => {
  const text = `Time,Tanker,Gals,Incident\n${T},101,900,Crête\n${T},102,950,Peña\n`
  const wanted = rowsOf([2, T, '101', '900', 'Crête'], [3, T, '102', '950', 'Peña'])
  const latin = Buffer.from(text, 'latin1')
  const wide = Buffer.from(text, 'utf16le')
  const swapped = Buffer.from(wide).swap16()
  const declared = (encoding: string) => [
    dropProfile('sheet', ['Time', 'Tanker', 'Gals'], { csv: { encoding } }),
  ]
  test.each<[string, Uint8Array, Parameters<Workbench['land']>[2]]>([
    ['utf-8', Buffer.from(text), [sheet]],
    ['gzip under any name', gzipSync(text), [sheet]],
    ['utf-16 LE with a mark', Buffer.concat([Buffer.from([0xff, 0xfe]), wide]), [sheet]],
    ['utf-16 BE with a mark', Buffer.concat([Buffer.from([0xfe, 0xff]), swapped]), [sheet]],
    ['utf-16 LE without a mark', wide, [sheet]],
    ['utf-16 BE as declared', swapped, declared('utf-16be')],
    ['windows-1252 as declared', latin, declared('windows-1252')],
    ['windows-1252 in gzip', gzipSync(latin), declared('windows-1252')],
    ['CR alone', Buffer.from(text.replaceAll('\n', '\r')), [sheet]],
  ])('%s', async (_, bytes, profiles) => {
    const { landing, rows } = await bench.landed('bytes.csv', bytes, profiles)
    expect(rows).toEqual(wanted)
    expect(landing.notes).toEqual([])
    expect(landing.rowCount).toBe(2)
  })

  test.each([
    ['nothing declared', [sheet]],
    ['utf-8 declared', declared('utf-8')],
  ])('windows-1252 with %s is read, and said', async (_, profiles) => {
    const { landing, rows } = await bench.landed('latin.csv', latin, profiles)
    expect(rows).toEqual(wanted)
    expect(landing.notes.map(({ what }) => what)).toEqual([
      'the bytes are not utf-8; the file was read as windows-1252',
    ])
  })

  test('a late windows-1252 letter is found beyond the first bytes', async () => {
    const many = `Time,Tanker,Gals,Incident\n${`${T},101,900,F-1\n`.repeat(20_000)}`
    const bytes = Buffer.concat([Buffer.from(many), Buffer.from(`${T},101,900,Crête\n`, 'latin1')])
    const { landing, rows } = await bench.landed('late.csv', bytes, [sheet])
    expect(rows.at(-1)).toEqual({
      line: 20_002,
      problem: null,
      surplus: null,
      cells: [T, '101', '900', 'Crête'],
    })
    expect(landing.notes[0]).toMatchObject({ line: 20_002 })
  })

  test('stray bytes in a file that is utf-8 cost only their row', async () => {
    const bytes = Buffer.concat([
      Buffer.from(text),
      Buffer.from(`${T},103,1,x\xff\n`, 'latin1'),
      Buffer.from(`${T},104,2,y\n`),
    ])
    const { rows } = await bench.landed('stray.csv', bytes, [sheet])
    expect(rows.map(({ line, problem }) => [line, problem])).toEqual([
      [2, null],
      [3, null],
      [4, 'the row has bytes that are not utf-8'],
      [5, null],
    ])
  })
})

describe('a row that cannot be read is a problem row; the others land', () => {
  const header = 'Time,Tanker,Gals\n'
  const good = (tanker: number) => `${T},${tanker},900\n`
  test.each<[string, string, string, string]>([
    ['too few cells', `${T},101\n`, 'the row has 2 cells, the header has 3', `${T},101`],
    ['too many cells', `${T},101,900,x\n`, 'the row has 4 cells, the header has 3', `${T},101,900,x`],
    ['the header again', 'Time,Tanker,Gals\n', 'the header line again', 'Time,Tanker,Gals'],
    [
      'the header again in quotes',
      '"TIME", "Tanker","Gals"\n',
      'the header line again',
      '"TIME", "Tanker","Gals"',
    ],
    ['a NUL byte', `${T},1\u000001,900\n`, 'the row has a NUL byte', `${T},1␀01,900`],
    [
      'an open quotation mark',
      `${T},"101,900\n`,
      'a quotation mark is opened and never closed',
      `${T},"101,900`,
    ],
    [
      'text behind a quotation mark',
      `${T},"101"x,900\n`,
      'there is text behind a closing quotation mark',
      `${T},"101"x,900`,
    ],
  ])('%s', async (_, bad, problem, surplus) => {
    const { rows, landing } = await bench.landed('bad.csv', `${header}${good(1)}${bad}${good(2)}`, [sheet])
    expect(rows).toEqual([
      ...rowsOf([2, T, '1', '900']),
      { line: 3, problem, surplus, cells: [null, null, null] },
      ...rowsOf([4, T, '2', '900']),
    ])
    expect(landing).toMatchObject({ rowCount: 3, problemCount: 1, direct: false })
  })

  test('blank lines are no rows, and lines keep their numbers', async () => {
    const text = `${header}\n${good(1)},,\n  , ,\u00a0\n"","",""\n${good(2)}\n`
    const { rows, landing } = await bench.landed('blank.csv', text, [sheet])
    expect(rows).toEqual(rowsOf([3, T, '1', '900'], [7, T, '2', '900']))
    expect(landing.rowCount).toBe(2)
  })

  test('blank cells too many at the end do no harm', async () => {
    const { rows } = await bench.landed('commas.csv', `${header}${T},1,900,,\n`, [sheet])
    expect(rows).toEqual(rowsOf([2, T, '1', '900']))
  })

  test('an unnamed last column may be left out', async () => {
    const { rows } = await bench.landed('unnamed.csv', `Time,Tanker,Gals,\n${T},1,900,\n${T},2,900\n`, [
      sheet,
    ])
    expect(rows).toEqual(rowsOf([2, T, '1', '900', null], [3, T, '2', '900', null]))
  })

  test('a line break in quotes belongs to its row; the next row has its own line', async () => {
    const { rows } = await bench.landed('break.csv', `${header}${T},"T\n1",900\n${good(2)}`, [sheet])
    expect(rows).toEqual(rowsOf([2, T, 'T\n1', '900'], [4, T, '2', '900']))
  })

  test('an open quotation mark does not swallow the rows up to the next one', async () => {
    const text = `${header}${T},"1,900\n${good(2)}${T},"3",900\n${T},"4, four",900\n`
    const { rows } = await bench.landed('swallow.csv', text, [sheet])
    expect(rows.map(({ line, problem }) => [line, problem === null])).toEqual([
      [2, false],
      [3, true],
      [4, true],
      [5, true],
    ])
  })

  test('10 MB on one line are refused, the lines around them land', async () => {
    const text = `${header}${good(1)}${'x'.repeat(10_000_000)}\n${good(2)}`
    const { rows } = await bench.landed('long.csv', text, [sheet])
    expect(rows.map(({ line, problem }) => [line, problem])).toEqual([
      [2, null],
      [3, 'the line is longer than 1 MB'],
      [4, null],
    ])
    expect(rows[1]!.surplus!.length).toBeLessThan(500)
  })

  test('a header with a line break shifts nothing', async () => {
    const { rows, recognized } = await bench.landed(
      'head.csv',
      `Time,Tanker,Gals,"Notes\n(free)"\n${T},1,900,x\n`,
      [sheet],
    )
    expect(recognized.header).toEqual(['Time', 'Tanker', 'Gals', 'Notes (free)'])
    expect(rows).toEqual(rowsOf([3, T, '1', '900', 'x']))
  })
})

test('a gzip file that breaks off is refused whole', async () => {
  const whole = gzipSync(
    `Time,Tanker,Gals\n${Array.from({ length: 5000 }, (_, i) => `${T},${i},${i * 7}\n`).join('')}`,
  )
  const { what, fix } = await bench.refused('cut.csv.gz', whole.subarray(0, whole.length - 2000), [sheet])
  expect(what).toBe('the gzip file ends too early: part of it is missing')
  expect(fix).toMatch(/nothing of it was read/)
})

test('read as it stands or with care, a file gives the same rows', async () => {
  const tame = fc.constantFrom('a', '12', 'x y', 'é', '', ' ', '"q"', '"a, b"', '""', '"do ""it"""')
  const wild = fc.constantFrom('2" hose', '"a\nb"', '"open', '"a"b', 'Tanker', '\0', '\r', ' "z" ', ',')
  const three = (cell: fc.Arbitrary<string>) => fc.tuple(cell, cell, cell).map((cells) => cells.join(','))
  const full = fc.tuple(fc.constantFrom('a', '"b"'), tame, tame).map((cells) => cells.join(','))
  const any = fc.oneof({ weight: 8, arbitrary: tame }, { weight: 1, arbitrary: wild })
  const ragged = fc.array(any, { minLength: 2, maxLength: 4 }).map((cells) => cells.join(','))
  const lines = fc.oneof(
    fc.array(full, { maxLength: 12 }),
    fc.array(fc.oneof({ weight: 8, arbitrary: three(any) }, ragged), { maxLength: 12 }),
  )
  let directs = 0
  await fc.assert(
    fc.asyncProperty(lines, fc.constantFrom('\n', '\r\n'), async (body, feed) => {
      const text = ['Time,Tanker,Gals', ...body].join(feed)
      const { landing, rows } = await bench.landed('any.csv', text, [sheet])
      expect(rows).toHaveLength(landing.rowCount)
      const physical = text.split('\n')
      for (const { line, problem, cells } of rows) {
        const texts = cells.map((each) => each ?? '')
        if (problem || texts.some((each) => each.includes('\n'))) continue
        expect(readRecord(physical[line - 1]!, 0, ',').cells.slice(0, 3)).toEqual(texts)
      }
      if (!landing.direct) return
      directs++
      const wanted = dsvFormat(',').parseRows(text).slice(1)
      expect(rows.map(({ cells }) => cells.map((each) => each ?? ''))).toEqual(wanted)
      // A return at the very end closes the last line; with more text behind it, it would belong to the cell.
      if (text.endsWith('\r')) return
      const careful = await bench.landed('any.csv', `${text}${feed}"`, [sheet])
      expect(careful.landing.direct).toBe(false)
      expect(careful.rows.slice(0, -1)).toEqual(rows)
    }),
    { numRuns: 60 },
  )
  expect(directs).toBeGreaterThan(10)
}, 180_000)

test('an empty file and a blank one are refused with what to do', async () => {
  expect(await bench.refused('empty.csv', '')).toMatchObject({ what: 'the file is empty', line: null })
  expect(await bench.refused('blank.csv', '\n\n  \n')).toMatchObject({
    what: 'the file holds only blank lines',
  })
  const garbage = Uint8Array.from({ length: 5000 }, (_, index) => (index * 7919 + (index >> 3) * 31) % 256)
  const binary = await bench.land('binary.bin', garbage)
  expect(isProblem(binary) && binary.what).toBe('the file is not text, nor a workbook')
})

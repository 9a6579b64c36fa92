import { createHash } from 'node:crypto'
import { readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { afterAll, describe, expect, test } from 'vitest'
import writeWorkbook from 'write-excel-file/node'
import { foundFile, isKept, keepBytes, rawLineAt, readKept, restoreKept } from '../../src/sources/index.ts'
import { dropProfile, Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

const folder = join(bench.folder, 'kept')
const text = '\ufeffTime,Tanker\r\n1,"a\r\nb"\r\nlast, Crête '
const sha = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('hex')

async function keep(name: string, bytes: Uint8Array): Promise<string> {
  await keepBytes(await foundFile(bench.write(name, bytes)), sha(bytes), folder)
  return sha(bytes)
}

describe('kept bytes', () => {
  test.each<[string, Uint8Array]>([
    ['text', Buffer.from(text)],
    ['utf-16', Buffer.from(text, 'utf16le')],
    ['gzip, kept as sent', gzipSync(text)],
    ['nothing', Buffer.alloc(0)],
  ])('%s come back as they were', async (name, bytes) => {
    const hash = await keep(name, bytes)
    const chunks: Buffer[] = []
    for await (const chunk of await readKept(folder, hash)) chunks.push(chunk as Buffer)
    expect(sha(Buffer.concat(chunks))).toBe(hash)
    const copy = join(bench.folder, 'copy')
    await restoreKept(folder, hash, copy)
    expect(statSync(copy).size).toBe(bytes.length)
  })

  test('are kept once and leave no scratch', async () => {
    const before = readdirSync(folder).length
    await keep('again', Buffer.from(text))
    expect(readdirSync(folder)).toHaveLength(before)
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
    expect(await isKept(folder, 'no-such-hash')).toBe(false)
    await expect(readKept(folder, 'no-such-hash')).rejects.toThrow('no bytes are kept')
  })
})

describe('a raw line', () => {
  test.each<[string, Uint8Array, 'windows-1252' | undefined]>([
    ['text', Buffer.from(text), undefined],
    ['gzip', gzipSync(text), undefined],
    ['utf-16', Buffer.from(text, 'utf16le'), undefined],
    ['windows-1252', Buffer.from(text.slice(1), 'latin1'), 'windows-1252'],
  ])('of %s is as it stood', async (name, bytes, encoding) => {
    const hash = await keep(`line-${name}`, bytes)
    const lines = await Promise.all(
      [0, 1, 2, 3, 4, 5].map((line) => rawLineAt(folder, hash, line, { encoding })),
    )
    expect(lines).toEqual([null, 'Time,Tanker', '1,"a', 'b"', 'last, Crête ', null])
  })

  test('of a workbook is of the sheet that the cells were read from', async () => {
    const told = [
      ['Total', 'of the season', '2'].map((value) => [{ value }]),
      [
        ['Time', 'Tanker', 'Gals'],
        ['1', 'a', '2'],
        ['1', null, '3'],
      ].map((row) => row.map((value) => value && { value })),
    ]
    const bytes = await writeWorkbook(
      told.map((data, i) => ({ data, sheet: `Sheet ${i + 1}` })) as unknown as Parameters<
        typeof writeWorkbook
      >[0],
    ).toBuffer()
    const { landing, rows } = await bench.landed('book.xlsx', bytes, [
      dropProfile('book', ['Time', 'Tanker', 'Gals'], { format: 'xlsx' }),
    ])
    await keepBytes(await foundFile(join(bench.folder, 'book.xlsx')), landing.sha256, folder)
    const lines = rows.map(({ line, cells }) => rawLineAt(folder, landing.sha256, line, { cells }))
    expect(await Promise.all(lines)).toEqual(['1\ta\t2', '1\t\t3'])
  })

  test('of a file that turns out, far down, not to be utf-8 has its letters', async () => {
    const bytes = Buffer.from(`${'Time,Tanker\n'.repeat(10_000)}1,Crête\n`, 'latin1')
    const hash = await keep('long', bytes)
    expect(await rawLineAt(folder, hash, 10_001)).toBe('1,Crête')
    expect(await rawLineAt(folder, hash, 10_001, { encoding: 'windows-1252' })).toBe('1,Crête')
  })

  test('is the line that a landed row names', async () => {
    const sheet = dropProfile('sheet', ['Time', 'Tanker', 'Gals'])
    const body = `Title\nTime,Tanker,Gals\n1,a,2\n\n1,"b\nc",3\nshort\n1,d,4\n`
    const { landing, rows } = await bench.landed('rows.csv', body, [sheet])
    await keepBytes(await foundFile(join(bench.folder, 'rows.csv')), landing.sha256, folder)
    const lines = await Promise.all(rows.map(({ line }) => rawLineAt(folder, landing.sha256, line)))
    expect(lines).toEqual(['1,a,2', '1,"b', 'short', '1,d,4'])
  })

  test('of a file that is not kept is null', async () => {
    expect(await rawLineAt(folder, 'no-such-hash', 1)).toBeNull()
  })
})

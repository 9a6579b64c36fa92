import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterEach, expect, test } from 'vitest'
import { folderOf } from '../intake/folder.ts'
import { workedExampleFiles } from '../simulator/worked-example.ts'

const root = resolve(import.meta.dirname, '../..')
const cli = join(root, 'dist', 'cli.js')
const running: ChildProcess[] = []
afterEach(() => {
  for (const child of running) if (child.exitCode === null) child.kill('SIGKILL')
  running.length = 0
})

function start(...argv: string[]): ChildProcess {
  const child = spawn(process.execPath, [cli, ...argv], { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] })
  running.push(child)
  return child
}

async function run(...argv: string[]): Promise<{ code: number | null; out: string; err: string }> {
  const child = start(...argv)
  let out = ''
  let err = ''
  child.stdout!.on('data', (piece) => {
    out += piece
  })
  child.stderr!.on('data', (piece) => {
    err += piece
  })
  const code = await new Promise<number | null>((done) => child.on('close', done))
  return { code, out, err }
}

async function serving(warehouse: string): Promise<{ child: ChildProcess; address: string }> {
  const child = start('serve', '--port', '0', '--warehouse', warehouse)
  let out = ''
  const address = await new Promise<string>((done, fail) => {
    child.stdout!.on('data', (piece) => {
      out += piece
      const found = /open (http:\/\/127\.0\.0\.1:\d+\/)/.exec(out)
      if (found) done(found[1]!)
    })
    child.on('close', () => fail(new Error(`the server ended: ${out}`)))
  })
  return { child, address }
}

test('a second terminal works while the server runs, and after it', async () => {
  const warehouse = await mkdtemp(join(tmpdir(), 'gallonage-served-'))
  const logs = await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text])))
  const { child, address } = await serving(warehouse)

  const ingested = await run('ingest', logs, '--json', '--warehouse', warehouse)
  expect(ingested.code).toBe(0)
  expect(JSON.parse(ingested.out).totals).toEqual({
    read: 43,
    accepted: 43,
    duplicate: 0,
    superseded: 0,
    quarantined: 0,
  })
  const asked = await run('query', 'gallons-by-fire', '--json', '--warehouse', warehouse)
  const overHttp = await fetch(`${address}api/queries/gallons-by-fire`, {
    headers: { Accept: 'application/json' },
  })
  expect(await overHttp.json()).toEqual(JSON.parse(asked.out))
  const report = await fetch(`${address}api/reports/season?season=1999`)
  expect([report.status, ((await report.json()) as { detail: string }).detail]).toEqual([
    422,
    expect.stringContaining('there is no season 1999 on record'),
  ])
  const known = await fetch(`${address}api/queries/gallons-by-fire`, {
    headers: { Accept: 'application/json', 'If-None-Match': overHttp.headers.get('ETag')! },
  })
  expect(known.status).toBe(304)
  expect((await run('query', 'gallons-by-fir', '--warehouse', warehouse)).code).toBe(2)
  expect((await run('verify', '--warehouse', warehouse)).code).toBe(0)

  const ended = new Promise((done) => child.on('close', done))
  child.kill('SIGTERM')
  expect(await ended).toBe(0)
  expect(existsSync(join(warehouse, 'server.json'))).toBe(false)
  const alone = await run('query', 'gallons-by-fire', '--json', '--warehouse', warehouse)
  expect(alone.out).toBe(asked.out)
  await rm(warehouse, { recursive: true })
})

test('an upload answers with the fates of its rows, and names the file as its sender does', async () => {
  const warehouse = await mkdtemp(join(tmpdir(), 'gallonage-served-'))
  const { address } = await serving(warehouse)
  const send = (name: string, body: string, key?: string) =>
    fetch(`${address}api/ingest?name=${name}`, {
      method: 'POST',
      body,
      headers: { 'Content-Type': 'text/csv', ...(key ? { 'Idempotency-Key': key } : {}) },
    })
  expect((await send('aircraft.csv', 'registration\nN801ZY\n')).status).toBeLessThan(300)
  const drops = 'dropped_at,aircraft,volume_gal\n2026-07-05T18:30:00Z,N801ZY,900\n'
  const first = await (await send('drop.csv', drops, 'k1')).json()
  expect(first).toMatchObject({ files: [{ path: 'drop.csv', read: 1, accepted: 1 }] })
  expect(await (await send('drop.csv', drops, 'k1')).json()).toEqual(first)
  const strange = await (await send('slips.csv', 'Slip,Litres\n1,2\n')).json()
  expect(strange.files[0]).toMatchObject({ path: 'slips.csv', profile: null })
  expect(JSON.stringify(strange)).not.toContain(tmpdir())

  // A profile comes by itself, and the next file of its kind is read by it; a profile with a fault says which.
  const fields = { dropped_at: { from: 'When' }, aircraft: { from: 'Ship' }, volume: { from: 'Gals' } }
  const profile = { profile: 'ship-sheet', headers: ['When', 'Ship'], records: [{ kind: 'drop', fields }] }
  expect(await (await send('ship.json', JSON.stringify(profile))).json()).toMatchObject({
    files: [],
    profiles: ['ship-sheet'],
    problems: [],
  })
  const sheet = await (await send('sheet.csv', 'When,Ship,Gals\n2026-07-06T18:00:00Z,N801ZY,700\n')).json()
  expect(sheet.files[0]).toMatchObject({ profile: 'ship-sheet', accepted: 1 })
  for (const [text, words] of [
    [JSON.stringify({ ...profile, headers: undefined }), 'ship.json: headers is missing'],
    ['{"profile": "ship-sheet",}', 'ship.json'],
  ] as const) {
    const refused = await (await send('ship.json', text)).json()
    expect(refused).toMatchObject({ files: [], profiles: [], problems: [expect.stringContaining(words)] })
  }
  await rm(warehouse, { recursive: true, force: true })
})

test('what only reads makes no warehouse in a mistyped folder', async () => {
  const folder = join(await mkdtemp(join(tmpdir(), 'gallonage-none-')), 'warehous')
  for (const argv of [['query', 'drops'], ['verify'], ['findings'], ['amend', 'list'], ['setting']]) {
    const said = await run(...argv, '--warehouse', folder)
    expect(said).toMatchObject({
      code: 1,
      out: '',
      err: expect.stringContaining(`there is no warehouse in ${folder}`),
    })
  }
  expect(existsSync(folder)).toBe(false)
})

test('a port in use is said in one line', async () => {
  const warehouse = await mkdtemp(join(tmpdir(), 'gallonage-port-'))
  const { address } = await serving(warehouse)
  const other = await mkdtemp(join(tmpdir(), 'gallonage-port-'))
  const said = await run('serve', '--port', new URL(address).port, '--warehouse', other)
  expect(said.code).toBe(1)
  expect(said.err.trim()).toMatch(
    /^gallonage serve: port \d+ on 127\.0\.0\.1 is in use; give another with --port$/,
  )
  const twice = await run('serve', '--port', '0', '--warehouse', warehouse)
  expect(twice).toMatchObject({ code: 1, err: expect.stringContaining(`is served already: open ${address}`) })
  for (const folder of [warehouse, other]) await rm(folder, { recursive: true, force: true })
})

test('watch takes a file again when its profile comes later', { timeout: 60_000 }, async () => {
  const warehouse = await mkdtemp(join(tmpdir(), 'gallonage-watched-'))
  const folder = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    'sheet.csv': 'When,Plane,Litres\n2026-07-05T18:30:00Z,N801ZY,3785.411784\n',
  })
  const child = start('watch', folder, '--json', '--warehouse', warehouse)
  const reports: { files: { path: string; accepted: number; profile: string | null }[] }[] = []
  let rest = ''
  child.stdout!.on('data', (piece) => {
    const lines = (rest + piece).split('\n')
    rest = lines.pop()!
    reports.push(...lines.map((line) => JSON.parse(line)))
  })
  const until = async (count: number) => {
    while (reports.length < count) await new Promise((done) => setTimeout(done, 50))
    return reports[count - 1]!.files.find(({ path }) => path.endsWith('sheet.csv'))
  }
  expect(await until(1)).toMatchObject({ profile: null })
  await mkdir(join(folder, 'profiles'))
  await writeFile(
    join(folder, 'profiles', 'sheet.json'),
    JSON.stringify({
      profile: 'sheet',
      headers: ['When', 'Plane', 'Litres'],
      records: [
        {
          kind: 'drop',
          fields: {
            dropped_at: { from: 'When' },
            aircraft: { from: 'Plane' },
            volume: { from: 'Litres', unit: 'L' },
          },
        },
      ],
    }),
  )
  expect(await until(2)).toMatchObject({ profile: 'sheet', accepted: 1 })
  expect(reports[1]!.files.some(({ path }) => path.endsWith('sheet.json'))).toBe(false)
  child.kill('SIGINT')
  expect(await new Promise((done) => child.on('close', done))).toBe(0)
  await rm(warehouse, { recursive: true, force: true })
})

test('a kill in the middle changes nothing: the next run has the whole, and it verifies', {
  timeout: 300_000,
}, async () => {
  const warehouse = await mkdtemp(join(tmpdir(), 'gallonage-killed-'))
  const season = join(root, 'sample-logs', 'season-2026')
  for (const delayMs of [1200, 4000]) {
    const child = start('ingest', season, '--warehouse', warehouse)
    await new Promise((done) => setTimeout(done, delayMs))
    child.kill('SIGKILL')
    await new Promise((done) => child.on('close', done))
    // Nothing of a run that was cut counts, unless it had come to its end.
    const left = await run('query', 'arrivals', '--json', '--warehouse', warehouse)
    if (left.err.includes('there is no warehouse')) continue
    expect(left.code).toBe(0)
    for (const file of JSON.parse(left.out))
      expect(file.read).toBe(file.accepted + file.duplicate + file.superseded + file.quarantined)
  }
  expect((await run('ingest', season, '--warehouse', warehouse, '--json')).code).toBe(0)
  expect((await run('verify', '--warehouse', warehouse)).out).toContain('every row is the same')
  // The drop that the guide shows is one of the sample.
  const shown = /gallonage evidence drop (\S+)/.exec(await readFile(join(root, 'README.md'), 'utf8'))![1]!
  expect((await run('evidence', 'drop', shown, '--warehouse', warehouse)).out).toContain('who said what')
  await rm(warehouse, { recursive: true })
})

import { mkdtemp, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import {
  Accounts,
  type CommandRequest,
  type Listening,
  listen,
  readServerInfo,
  relayTo,
  removeServerInfo,
  type ServerInfo,
  writeServerInfo,
} from '../../src/server/index.ts'
import { problemOf, type Served, served } from './served.ts'

let house: Served
let listening: Listening
let info: ServerInfo
let folder: string
const asked: CommandRequest[] = []
let wasStopped = false

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'gallonage-relay-'))
  house = await served({
    token: 'let me in',
    commands: async (request, sinks, signal) => {
      asked.push(request)
      const [verb] = request.argv
      if (verb === 'fail') throw new Error('drops.csv is not there\n    at insides (x.ts:1)')
      if (verb === 'wait') {
        sinks.out('waiting\n')
        await new Promise<void>((resolve) => signal.addEventListener('abort', () => resolve()))
        wasStopped = true
        return 1
      }
      sinks.out('first ✓\n')
      sinks.err('a note\n')
      sinks.out(new Uint8Array([0, 255, 10]))
      return 3
    },
  })
  listening = await listen(house.app, { host: '127.0.0.1', port: 0, accounts: null })
  info = { pid: process.pid, host: '127.0.0.1', port: listening.port, token: 'let me in' }
})
afterAll(async () => {
  await listening.close()
  await house.close()
  await rm(folder, { recursive: true })
})

const request = (...argv: string[]): CommandRequest => ({
  argv,
  cwd: '/somewhere',
  columns: 80,
  isTTY: false,
})

function collect() {
  const out: (string | Uint8Array)[] = []
  const err: (string | Uint8Array)[] = []
  return {
    out,
    err,
    sinks: {
      out: (part: string | Uint8Array) => out.push(part),
      err: (part: string | Uint8Array) => err.push(part),
    },
  }
}

describe('a command of another process', () => {
  test('is run by the server, and its output and exit code come back', async () => {
    const { out, err, sinks } = collect()
    expect(await relayTo(info, request('query', 'drops'), sinks)).toBe(3)
    expect(out).toEqual(['first ✓\n', Buffer.from([0, 255, 10])])
    expect(err).toEqual(['a note\n'])
    expect(asked.at(-1)).toEqual(request('query', 'drops'))
  })

  test('that fails says one line', async () => {
    const { err, sinks } = collect()
    expect(await relayTo(info, request('fail'), sinks)).toBe(1)
    expect(err).toEqual(['drops.csv is not there\n'])
  })

  test('that is broken off is stopped in the server too', async () => {
    const { sinks } = collect()
    const stop = new AbortController()
    const running = relayTo(info, request('wait'), { ...sinks, out: () => stop.abort() }, stop.signal)
    await expect(running).rejects.toThrow(/connection broke/)
    for (let wait = 0; wait < 100 && !wasStopped; wait++)
      await new Promise((resolve) => setTimeout(resolve, 20))
    expect(wasStopped).toBe(true)
  })

  test('needs the token', async () => {
    const { sinks } = collect()
    await expect(relayTo({ ...info, token: 'let me ix' }, request('query'), sinks)).rejects.toThrow(
      /answers 403/,
    )
    const bare = await house.app.request('/internal/command', { method: 'POST', body: '{}' })
    expect((await problemOf(bare)).status).toBe(403)
    await expect(relayTo({ ...info, port: 1 }, request('query'), sinks)).rejects.toThrow(
      /nothing answers on its port/,
    )
  })
})

describe('the word that a server leaves', () => {
  test('is for this user only, and counts while the server lives', async () => {
    expect(readServerInfo(folder)).toBeNull()
    writeServerInfo(folder, info)
    expect((await stat(join(folder, 'server.json'))).mode & 0o777).toBe(0o600)
    expect(readServerInfo(folder)).toEqual(info)
    writeServerInfo(folder, { ...info, pid: 2 ** 22 + 12345 })
    expect(readServerInfo(folder)).toBeNull()
    await writeFile(join(folder, 'server.json'), 'broken')
    expect(readServerInfo(folder)).toBeNull()
    removeServerInfo(folder)
    removeServerInfo(folder)
  })
})

describe('listening', () => {
  test('where others could reach it needs accounts', async () => {
    const options = { host: '0.0.0.0', port: 0 }
    await expect(listen(house.app, { ...options, accounts: null })).rejects.toThrow(
      /needs accounts; give --accounts/,
    )
  })

  test('on a taken port says so', async () => {
    const options = { host: '127.0.0.1', port: listening.port, accounts: null }
    await expect(listen(house.app, options)).rejects.toThrow(/is in use; give another with --port/)
  })

  test('the accounts file is checked', async () => {
    expect(() => Accounts.read(join(folder, 'none.json'))).toThrow(/cannot be read/)
    const path = join(folder, 'accounts.json')
    await writeFile(path, '{"users":[{"name":"a b","role":"reader","password":"x"}]}')
    expect(() => Accounts.read(path)).toThrow(/accounts\.json: users\.0\.name: a name has no spaces/)
    await writeFile(path, 'not json')
    expect(() => Accounts.read(path)).toThrow(/accounts\.json: the file/)
  })

  test('over a real connection answers are there', async () => {
    const response = await fetch(`${listening.address}api/queries/my-total?fluid=water`)
    expect(await response.json()).toEqual([{ gallons: 420 }])
    expect((await fetch(`${listening.address}healthz`)).status).toBe(200)
  })
})

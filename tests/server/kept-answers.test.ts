import { gunzipSync } from 'node:zlib'
import { describe, expect, test } from 'vitest'
import { KeptAnswers, keptResponse, takesGzip } from '../../src/server/kept-answers.ts'
import { sharedTurn } from '../../src/server/shared-turn.ts'

const bytes = (length: number, fill = 65): Uint8Array<ArrayBuffer> => new Uint8Array(length).fill(fill)
const never = new AbortController().signal
const made = (length: number) => async () => ({ bytes: bytes(length), headers: { ETag: '"t"' } })

describe('kept answers', () => {
  test('one tag is made once, also for those who ask while it is being made', async () => {
    const answers = new KeptAnswers()
    let times = 0
    const make = async () => {
      times++
      await new Promise((resolve) => setTimeout(resolve, 5))
      return { bytes: bytes(10), headers: {} }
    }
    const [a, b] = await Promise.all([answers.get('x', never, make), answers.get('x', never, make)])
    const c = await answers.get('x', never, make)
    expect([a === b, b === c, times]).toEqual([true, true, 1])
    await answers.get('y', never, make)
    expect(times).toBe(2)
  })

  test('those asked longest ago go first, and one too large is not kept', async () => {
    const answers = new KeptAnswers({ roomBytes: 1000, largestBytes: 600 })
    let times = 0
    const count = (length: number) => async () => {
      times++
      return made(length)()
    }
    for (const tag of ['a', 'b', 'a', 'c']) await answers.get(tag, never, count(400))
    expect([times, answers.size]).toEqual([3, 800])
    await answers.get('a', never, count(400))
    expect(times).toBe(3)
    await answers.get('b', never, count(400))
    expect(times).toBe(4)
    await answers.get('large', never, count(700))
    await answers.get('large', never, count(700))
    expect([times, answers.size]).toEqual([6, 800])
  })

  test('a failure is told to all and made again for the next', async () => {
    const answers = new KeptAnswers()
    let times = 0
    const fail = async (): Promise<never> => {
      times++
      throw new Error('too slow')
    }
    await expect(Promise.all([answers.get('x', never, fail), answers.get('x', never, fail)])).rejects.toThrow(
      'too slow',
    )
    await expect(answers.get('x', never, fail)).rejects.toThrow('too slow')
    expect(times).toBe(2)
  })

  test('the making stops only when the last who waits has left', async () => {
    const answers = new KeptAnswers()
    const [first, second] = [new AbortController(), new AbortController()]
    let isStopped = false
    const make = (signal: AbortSignal) =>
      new Promise<never>((_, reject) =>
        signal.addEventListener('abort', () => {
          isStopped = true
          reject(new Error('stopped'))
        }),
      )
    const a = answers.get('x', first.signal, make).catch(() => 'gone')
    const b = answers.get('x', second.signal, make).catch(() => 'gone')
    first.abort()
    await Promise.resolve()
    expect(isStopped).toBe(false)
    second.abort()
    expect([await a, await b, isStopped]).toEqual(['gone', 'gone', true])
    expect((await answers.get('x', never, made(3))).bytes.length).toBe(3)
  })

  test('it leaves packed for those who take that, and says so', async () => {
    const answer = await new KeptAnswers().get('x', never, made(5000))
    const packed = keptResponse(answer, 'gzip, deflate, br')
    expect(packed.headers.get('Content-Encoding')).toBe('gzip')
    expect(packed.headers.get('ETag')).toBe('W/"t"')
    const body = Buffer.from(await packed.arrayBuffer())
    expect(body.length).toBeLessThan(200)
    expect(gunzipSync(body).length).toBe(5000)
    const plain = keptResponse(answer, undefined)
    expect([plain.headers.get('Content-Encoding'), plain.headers.get('ETag')]).toEqual([null, '"t"'])
    expect((await plain.arrayBuffer()).byteLength).toBe(5000)
  })

  test.each([
    ['gzip', true],
    ['br, GZIP;q=0.5', true],
    ['gzip;q=0', false],
    ['gzip;q=0.0', false],
    ['x-gzipped', false],
    ['', false],
    [undefined, false],
  ])('Accept-Encoding %s takes gzip: %s', (header, takes) => {
    expect(takesGzip(header)).toBe(takes)
  })
})

describe('a shared turn', () => {
  test('those who ask while it runs share the next run, which begins after they asked', async () => {
    let state = 0
    const begun: number[] = []
    const ask = sharedTurn(async () => {
      const seen = state
      begun.push(seen)
      await new Promise((resolve) => setTimeout(resolve, 5))
      return seen
    })
    const first = ask()
    state = 1
    const [second, third] = [ask(), ask()]
    expect(await Promise.all([first, second, third])).toEqual([0, 1, 1])
    expect(begun).toEqual([0, 1])
    state = 2
    expect(await ask()).toBe(2)
  })

  test('a failure does not hold up the next', async () => {
    let times = 0
    const ask = sharedTurn(async () => {
      times++
      if (times === 1) throw new Error('busy')
      return times
    })
    const [first, second] = [ask(), ask()]
    await expect(first).rejects.toThrow('busy')
    expect(await second).toBe(2)
  })
})

import { describe, expect, test } from 'vitest'
import { type Folded, type FoldRow, foldArrivals } from '../../src/intake/fold.ts'
import fc from '../chance.ts'

const minute = 60_000
const increment = () => false
const whole = () => true

/** `file.line content key@minute`, keyed when the key is in capitals. */
function rows(...specs: string[]): FoldRow[] {
  return specs.map((spec, i) => {
    const match = /^(\d+)\.(\d+) (\S+) (\S+)@(-?\d+)$/.exec(spec)!
    const [, file, line, content, key, at] = match
    return {
      obs: i + 1,
      file: Number(file),
      line: Number(line),
      ident: content!,
      key: key!,
      isKeyed: key === key!.toUpperCase(),
      at: Number(at) * minute,
    }
  })
}

function fates(input: readonly FoldRow[], isWhole = increment): string[] {
  const folded = foldArrivals(input, isWhole)
  return input.map((row) => {
    const one = folded.fates.get(row.obs)!
    return one.fate[0]! + (one.replacedBy ?? '')
  })
}

describe('rows without a key', () => {
  test('the same row in a grown file is a duplicate', () => {
    expect(fates(rows('1.2 x k@0', '2.2 x k@0', '2.3 y j@5'))).toEqual(['a', 'd', 'a'])
  })

  test('a changed row of the same source, aircraft and minute replaces the one it stands for', () => {
    expect(fates(rows('1.2 x k@0', '2.2 y k@0'))).toEqual(['s2', 'a'])
  })

  test('two drops in one minute: the one that is repeated keeps its row, the other is corrected', () => {
    expect(fates(rows('1.2 x k@0', '1.3 y k@0', '2.2 x k@0', '2.3 z k@0'))).toEqual(['a', 's4', 'd', 'a'])
  })

  test('a new line beside a repeated one is a new event, not a correction', () => {
    expect(fates(rows('1.2 x k@0', '2.2 x k@0', '2.3 y k@0'))).toEqual(['a', 'd', 'a'])
  })

  test('two equal lines of one file are two events, and two again in the next', () => {
    expect(fates(rows('1.2 x k@0', '1.3 x k@0', '2.2 x k@0', '2.3 x k@0', '2.4 x k@0'))).toEqual([
      'a',
      'a',
      'd',
      'd',
      'a',
    ])
  })
})

describe('rows with a key', () => {
  test('other content replaces, in the next file and in the same', () => {
    expect(fates(rows('1.2 x K@0', '2.2 y K@0', '2.3 z K@0'))).toEqual(['s3', 's3', 'a'])
  })

  test('the same row twice in one file is one', () => {
    expect(fates(rows('1.2 x K@0', '1.3 x K@0'))).toEqual(['a', 'd'])
  })

  test('the same number more than 12 hours away is a new event, and is reported', () => {
    const input = rows('1.2 x K@0', '2.2 y K@721')
    expect(fates(input)).toEqual(['a', 'a'])
    expect(foldArrivals(input, increment).farApart).toEqual([2])
    expect(fates(rows('1.2 x K@0', '2.2 y K@720'))).toEqual(['s2', 'a'])
  })

  test('a correction that is taken back stands again as the newest row', () => {
    expect(fates(rows('1.2 x K@0', '2.2 y K@0', '3.2 x K@0'))).toEqual(['s2', 's3', 'a'])
  })
})

describe('a file that is the whole of its series', () => {
  test('a row with a corrected time replaces the one that is no longer there', () => {
    expect(
      fates(rows('1.2 x a@0', '1.3 y b@5', '1.4 z c@9', '2.2 x a@0', '2.3 w d@6', '2.4 z c@9'), whole),
    ).toEqual(['a', 's5', 'a', 'd', 'a', 'd'])
  })

  test('a row that is gone is withdrawn', () => {
    const input = rows('1.2 x a@0', '1.3 y b@5', '1.4 z c@9', '2.2 x a@0', '2.3 z c@9')
    expect(fates(input, whole)).toEqual(['a', 's', 'a', 'd', 'd'])
    expect(foldArrivals(input, whole).withdrawn).toEqual([{ obs: 2, byFile: 2 }])
  })

  test('a row outside the span of the later file stays', () => {
    expect(fates(rows('1.2 x a@0', '1.3 y b@5', '1.4 z c@9', '2.2 y b@5', '2.3 z c@9'), whole)).toEqual([
      'a',
      'a',
      'a',
      'd',
      'd',
    ])
  })

  test('a withdrawn row that comes back counts again', () => {
    expect(
      fates(
        rows(
          '1.2 x a@0',
          '1.3 y b@5',
          '1.4 z c@9',
          '2.2 x a@0',
          '2.3 z c@9',
          '3.2 x a@0',
          '3.3 y b@5',
          '3.4 z c@9',
        ),
        whole,
      ),
    ).toEqual(['a', 's', 'a', 'd', 'd', 'd', 'a', 'd'])
  })

  test('a time that is corrected again in the next file is corrected, though that file brought nothing else', () => {
    const sent = (file: number, middle: string) => [
      `${file}.2 x a@0`,
      `${file}.3 ${middle}`,
      `${file}.4 z c@9`,
    ]
    expect(
      fates(rows(...sent(1, 'y b@5'), ...sent(2, 'w d@6'), ...sent(3, 'v e@7'), ...sent(4, 'u f@8')), whole),
    ).toEqual(['a', 's5', 'a', 'd', 's8', 'd', 'd', 's11', 'd', 'd', 'a', 'd'])
  })

  test('a row that was withdrawn, came back with another time and is gone again is withdrawn again', () => {
    const sent = (file: number, ...middle: string[]) => [
      `${file}.2 x a@0`,
      ...middle.map((one) => `${file}.3 ${one}`),
      `${file}.4 z c@9`,
    ]
    expect(fates(rows(...sent(1, 'y b@5'), ...sent(2), ...sent(3, 'w d@6'), ...sent(4)), whole)).toEqual([
      'a',
      's',
      'a',
      'd',
      'd',
      'd',
      's',
      'd',
      'd',
      'd',
    ])
  })

  test('another series of the same profile is left alone', () => {
    expect(fates(rows('1.2 x a@0', '1.3 y b@5', '2.2 p d@0', '2.3 q e@9'), whole)).toEqual([
      'a',
      'a',
      'a',
      'a',
    ])
  })
})

describe('laws', () => {
  const file = fc.array(
    fc.record({
      content: fc.integer({ min: 0, max: 6 }),
      key: fc.integer({ min: 0, max: 3 }),
      keyed: fc.boolean(),
    }),
    { maxLength: 8 },
  )
  const season = fc.array(file, { minLength: 1, maxLength: 4 }).map((files) => {
    let obs = 0
    return files.flatMap((lines, f) =>
      lines.map((line, l): FoldRow => {
        obs++
        const key = line.keyed ? `K${line.key}` : `k${line.key}`
        return {
          obs,
          file: f + 1,
          line: l + 2,
          ident: `${key}:${line.content}`,
          key,
          isKeyed: line.keyed,
          at: line.key * minute,
        }
      }),
    )
  })

  test('every row has exactly one fate', () => {
    fc.assert(
      fc.property(season, fc.boolean(), (input, isWhole) => {
        expect(foldArrivals(input, () => isWhole).fates.size).toBe(input.length)
      }),
    )
  })

  test('a key has at most one standing row', () => {
    fc.assert(
      fc.property(season, (input) => {
        const { fates: all } = foldArrivals(input, increment)
        const standing = input
          .filter((row) => row.isKeyed && all.get(row.obs)!.fate === 'accepted')
          .map((row) => row.key)
        expect(new Set(standing).size).toBe(standing.length)
      }),
    )
  })

  test('the last file once more changes nothing of what stands', () => {
    fc.assert(
      fc.property(season, (input) => {
        const last = Math.max(...input.map((row) => row.file), 0)
        const again = input
          .filter((row) => row.file === last)
          .map((row, i) => ({ ...row, obs: 1000 + i, file: last + 1 }))
        const contents = (all: readonly FoldRow[]) => {
          const { fates: fate } = foldArrivals(all, increment)
          return all
            .filter((row) => fate.get(row.obs)!.fate === 'accepted')
            .map((row) => row.ident)
            .sort()
        }
        expect(contents([...input, ...again])).toEqual(contents(input))
      }),
    )
  })

  test('going on from what stands gives the same as going through all again', () => {
    fc.assert(
      fc.property(season, fc.boolean(), fc.integer({ min: 1, max: 3 }), (input, isWhole, cut) => {
        const all = foldArrivals(input, () => isWhole)
        const [old, news] = [input.filter((row) => row.file <= cut), input.filter((row) => row.file > cut)]
        const first = foldArrivals(old, () => isWhole)
        const then = foldArrivals(news, () => isWhole, {
          standing: old.filter((row) => first.fates.get(row.obs)!.fate === 'accepted'),
          seen: old.map((row) => [row.ident, row.file] as const),
          series: [...pairsOf(old, first)],
        })
        expect(new Map([...first.fates, ...then.fates])).toEqual(all.fates)
        expect([...first.withdrawn, ...then.withdrawn]).toEqual(all.withdrawn)
        expect([...first.farApart, ...then.farApart]).toEqual(all.farApart)
      }),
      { numRuns: 500 },
    )
  })

  function* pairsOf(input: readonly FoldRow[], folded: Folded): Iterable<[number, number]> {
    const fileOf = new Map(input.map((row) => [row.obs, row.file]))
    for (const row of input) {
      yield [row.file, input.find((other) => other.ident === row.ident)!.file]
      const by = folded.fates.get(row.obs)!.replacedBy
      if (by !== null) yield [row.file, fileOf.get(by)!]
    }
  }

  test('what replaces a row has its key, and is no duplicate', () => {
    fc.assert(
      fc.property(season, (input) => {
        const { fates: fate } = foldArrivals(input, increment)
        const byObs = new Map(input.map((row) => [row.obs, row]))
        for (const row of input) {
          const replacedBy = fate.get(row.obs)!.replacedBy
          if (replacedBy === null) continue
          expect(byObs.get(replacedBy)!.key).toBe(row.key)
          expect(replacedBy).not.toBe(row.obs)
          expect(fate.get(replacedBy)!.fate).not.toBe('duplicate')
        }
      }),
    )
  })
})

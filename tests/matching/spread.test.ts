import { describe, expect, it } from 'vitest'
import { type Spread, spreadSql } from '../../src/matching/spread.ts'

/** The stretches that the SQL asks for, one by one where there are several. */
function asked(sql: string): Spread[] {
  const [whole, parts] = sql.split(' AND (')
  return [...(parts ?? whole)!.matchAll(/n BETWEEN (\d+) AND (\d+)/g)].map(([, from, to]) => ({
    from: Number(from),
    to: Number(to),
  }))
}

describe('stretches of numbers as constants', () => {
  it('none, one, and a few as they are', () => {
    expect(spreadSql('n', [])).toBe('false')
    expect(spreadSql('n', [{ from: 3, to: 5 }])).toBe('n BETWEEN 3 AND 5')
    const few = [
      { from: 3, to: 5 },
      { from: 9, to: 9 },
    ]
    expect(asked(spreadSql('n', few))).toEqual(few)
    expect(spreadSql('n', few)).toMatch(/^n BETWEEN 3 AND 9 AND /)
  })

  it('of many, those that lie nearest become one, and none is lost', () => {
    // Every third gap is wide.
    const many = Array.from({ length: 30 }, (_, i) => {
      const from = 10 * i + 1000 * Math.floor(i / 3)
      return { from, to: from + 4 }
    })
    const joined = asked(spreadSql('n', many))
    expect(joined.map(({ from }) => from)).toEqual(Array.from({ length: 10 }, (_, i) => 1030 * i))
    for (const { from, to } of many) expect(joined.some((one) => one.from <= from && to <= one.to)).toBe(true)
  })
})

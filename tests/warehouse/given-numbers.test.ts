import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { Warehouse } from '../../src/warehouse/index.ts'

describe('numbers that are given to statements', () => {
  let warehouse: Warehouse

  beforeAll(async () => {
    warehouse = await Warehouse.memory([])
  })
  afterAll(() => warehouse.close())

  const count = 5_000
  const given = {
    event: Int32Array.from({ length: count }, (_, row) => row),
    place: Int16Array.from({ length: count }, (_, row) => row % 300),
    kind: Int8Array.from({ length: count }, (_, row) => row % 4),
    volume_gal: Float64Array.from({ length: count }, (_, row) => (row % 7 === 0 ? Number.NaN : row / 8)),
  }

  it('are read where they lie, row by row, NaN as NULL', async () => {
    await warehouse.giving({ events: given }, async () => {
      const rows = await warehouse.rows("FROM given_numbers('events')")
      expect(rows).toHaveLength(count)
      expect(rows[2_049]).toEqual({ event: 2_049, place: 249, kind: 1, volume_gal: 2_049 / 8 })
      expect(rows.filter((row) => row.volume_gal === null).map((row) => row.event)).toEqual(
        Array.from({ length: 715 }, (_, n) => 7 * n),
      )
    })
  })

  it('are joined and asked for by column, within a transaction too', async () => {
    const others = { event: Int32Array.of(4_999, 3), weight: Float64Array.of(0.5, 2) }
    await warehouse.giving({ events: given, others }, () =>
      warehouse.transaction(async () => {
        const rows = await warehouse.rows(
          "SELECT o.weight, e.place FROM given_numbers('others') o JOIN given_numbers('events') e USING (event) ORDER BY event",
        )
        expect(rows).toEqual([
          { weight: 2, place: 3 },
          { weight: 0.5, place: 199 },
        ])
      }),
    )
  })

  it('may be none', async () => {
    await warehouse.giving({ events: { event: new Int32Array(0) } }, async () => {
      expect(await warehouse.rows("FROM given_numbers('events')")).toEqual([])
    })
  })

  it('are gone when the work is done or has failed', async () => {
    const work = warehouse.giving({ events: given }, () => warehouse.run('SELECT nothing'))
    await expect(work).rejects.toThrow('nothing')
    await expect(warehouse.rows("FROM given_numbers('events')")).rejects.toThrow(
      'no numbers are given by the name events',
    )
  })

  it('are given by the one who writes', async () => {
    const reader = await warehouse.reader()
    await expect(reader.giving({ events: given }, async () => undefined)).rejects.toThrow(
      'a reader gives no numbers',
    )
    await reader.close()
  })
})

import { beforeEach, describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, line, put } from './house.ts'

let warehouse: Warehouse
beforeEach(async () => {
  warehouse = await emptyHouse()
})

/** Drops as `time volume fire witnesses`, in order of time. */
async function drops(): Promise<string[]> {
  await match(warehouse, 'all')
  const rows = await warehouse.rows<{ text: string }>(
    `SELECT strftime(dropped_at, '%H:%M:%S') || ' ' || coalesce(volume_gal::INTEGER::VARCHAR, '-') || ' ' || coalesce(fire_text, '-')
       || ' ' || array_to_string(witnesses, '+') AS text FROM ledger.drop ORDER BY dropped_at, drop`,
  )
  return rows.map((row) => row.text)
}

const c = 'controller:c'
const d = 'crew:d'

describe('drops of one load minutes apart', () => {
  it('align by order where volumes are equal', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 500 }),
      line('drop', c, '18:31:40', { volume: 500 }),
      line('drop', c, '18:33:20', { volume: 500 }),
      line('drop', d, '18:30:00', { volume: 500, fire: 'F-1' }),
      line('drop', d, '18:30:00', { volume: 500, fire: 'F-2' }),
      line('drop', d, '18:35:00', { volume: 500, fire: 'F-3' }),
    ])
    expect(await drops()).toEqual([
      '18:30:10 500 F-1 controller+crew',
      '18:31:40 500 F-2 controller+crew',
      '18:33:20 500 F-3 controller+crew',
    ])
  })

  it('are not shifted by a middle one that a witness missed', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 500 }),
      line('drop', c, '18:32:10', { volume: 500 }),
      line('drop', c, '18:34:10', { volume: 500 }),
      line('drop', d, '18:30:00', { volume: 500, fire: 'F-1' }),
      line('drop', d, '18:34:00', { volume: 500, fire: 'F-3' }),
    ])
    expect(await drops()).toEqual([
      '18:30:10 500 F-1 controller+crew',
      '18:32:10 500 - controller',
      '18:34:10 500 F-3 controller+crew',
    ])
  })

  it('a line of the same minute goes where its volume is', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 1500 }),
      line('drop', c, '18:30:50', { volume: 500 }),
      line('drop', d, '18:30:00', { volume: 500, fire: 'F-2' }),
      line('drop', d, '18:30:00', { volume: 1500, fire: 'F-1' }),
    ])
    expect(await drops()).toEqual(['18:30:10 1500 F-1 controller+crew', '18:30:50 500 F-2 controller+crew'])
  })

  const apart = (next: number): Parameters<typeof put>[1] => [
    line('load', 'ticket:t', '17:00:00', { volume: 790 }),
    line('drop', c, '18:23:09', { volume: 262 }),
    line('drop', c, '18:38:44', { volume: 261 }),
    line('drop', d, '18:25:00', { volume: 250, fire: 'F-1' }),
    line('drop', d, '18:30:00', { volume: 250, fire: 'F-2' }),
    line('load', 'ticket:t', '20:00:00', { volume: next }),
  ]

  it('lines of the same minute stand as they are written where their volumes hardly differ', async () => {
    await put(warehouse, [
      line('drop', c, '16:08:05', { volume: 690 }),
      line('drop', c, '16:08:54', { volume: 694 }),
      line('drop', d, '16:08:00', { volume: 709, fire: 'F-1' }),
      line('drop', d, '16:08:00', { volume: 693, fire: 'F-2' }),
    ])
    expect(await drops()).toEqual(['16:08:05 690 F-1 controller+crew', '16:08:54 694 F-2 controller+crew'])
  })

  it('of which each witness missed another are two where the load is let go only with both', async () => {
    await put(warehouse, apart(790))
    expect(await drops()).toEqual([
      '18:23:09 262 F-1 controller+crew',
      '18:30:00 250 F-2 crew',
      '18:38:44 261 - controller',
    ])
  })

  it('and one where the next load says that a part was kept', async () => {
    await put(warehouse, apart(530))
    expect(await drops()).toEqual(['18:23:09 262 F-1 controller+crew', '18:38:44 261 F-2 controller+crew'])
  })

  it('one line of the crew stands for a run that adds up: it gives the fire, not time or volume', async () => {
    await put(warehouse, [
      line('load', 'ticket:t', '18:00:00', { volume: 2000 }),
      line('drop', c, '18:30:10', { volume: 980 }),
      line('drop', c, '18:36:10', { volume: 1010 }),
      line('drop', d, '18:30:00', { volume: 2000, fire: 'F-1' }),
    ])
    expect(await drops()).toEqual(['18:30:10 980 F-1 controller+crew', '18:36:10 1010 F-1 controller+crew'])
    expect(
      await warehouse.rows(
        `SELECT role, count(*) AS n FROM ledger.link WHERE kind = 'drop' GROUP BY role ORDER BY role`,
      ),
    ).toEqual([
      { role: 'event', n: 2 },
      { role: 'summary', n: 2 },
    ])
  })

  it('a sum of which the controller missed a part still stands for the load: the tracker saw it, or nobody', async () => {
    await put(warehouse, [
      line('load', 'ticket:t', '18:00:00', { volume: 3000 }),
      line('drop', c, '18:30:10', { volume: 980 }),
      line('drop', 'tracker:t', '18:30:12'),
      line('drop', 'tracker:t', '18:33:10'),
      line('drop', 'tracker:t', '18:36:08'),
      line('drop', c, '18:36:10', { volume: 1010 }),
      line('drop', d, '18:30:00', { volume: 3000, fire: 'F-1' }),
      line('load', 'ticket:t', '20:00:00', { volume: 3000 }),
      line('drop', c, '20:30:10', { volume: 980 }),
      line('drop', c, '20:36:10', { volume: 1010 }),
      line('drop', d, '20:30:00', { volume: 3000, fire: 'F-2' }),
    ])
    expect(await drops()).toEqual([
      '18:30:10 980 F-1 controller+crew+tracker',
      '18:33:10 - F-1 crew+tracker',
      '18:36:10 1010 F-1 controller+crew+tracker',
      '20:30:10 980 F-2 controller+crew',
      '20:36:10 1010 F-2 controller+crew',
    ])
  })

  it('but no sum is made of less than the load, nor of a part that is out of all proportion', async () => {
    await put(warehouse, [
      line('load', 'ticket:t', '18:00:00', { volume: 4000 }),
      line('drop', c, '18:30:10', { volume: 980 }),
      line('drop', c, '18:36:10', { volume: 1010 }),
      line('drop', d, '18:30:00', { volume: 3000, fire: 'F-1' }),
      line('load', 'ticket:t', '20:00:00', { volume: 3000 }),
      line('drop', c, '20:30:10', { volume: 1300 }),
      line('drop', c, '20:36:10', { volume: 1300 }),
      line('drop', d, '20:30:00', { volume: 3000, fire: 'F-2' }),
    ])
    await match(warehouse, 'all')
    expect(await warehouse.rows(`SELECT count(*) AS n FROM ledger.link WHERE role = 'summary'`)).toEqual([
      { n: 0 },
    ])
  })

  it('a fraction of the load is as good as gallons: the whole load stands for its parts, three quarters go to the larger', async () => {
    await put(warehouse, [
      line('load', 'ticket:t', '18:00:00', { volume: 2000 }),
      line('drop', c, '18:30:10', { volume: 980 }),
      line('drop', c, '18:36:10', { volume: 1010 }),
      line('drop', d, '18:30:00', { fraction: 1, fire: 'F-1' }),
      line('load', 'ticket:t', '20:00:00', { volume: 2000 }),
      line('drop', c, '20:30:10', { volume: 500 }),
      line('drop', c, '20:31:10', { volume: 1490 }),
      line('drop', d, '20:31:00', { fraction: 0.75, fire: 'F-2' }),
    ])
    expect(await drops()).toEqual([
      '18:30:10 980 F-1 controller+crew',
      '18:36:10 1010 F-1 controller+crew',
      '20:30:10 500 - controller',
      '20:31:10 1490 F-2 controller+crew',
    ])
  })

  it('no line stands for drops of two loads', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 980 }),
      line('load', 'ticket:t', '18:40:00', { volume: 1000 }),
      line('drop', c, '18:50:10', { volume: 1010 }),
      line('drop', d, '18:30:00', { volume: 2000, fire: 'F-1' }),
    ])
    const rows = await warehouse.rows('SELECT 1 FROM ledger.link')
    expect(rows).toEqual([])
    await drops()
    expect(await warehouse.rows(`SELECT count(*) AS n FROM ledger.link WHERE role = 'summary'`)).toEqual([
      { n: 0 },
    ])
  })

  it('a jettison beside a drop stays a jettison', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 1000, purpose: 'fire' }),
      line('drop', c, '18:32:10', { volume: 1000, purpose: 'jettison' }),
      line('drop', d, '18:30:00', { volume: 1000, purpose: 'jettison' }),
    ])
    expect(await drops()).toEqual(['18:30:10 1000 - controller', '18:32:10 1000 - controller+crew'])
  })
})

describe('fields by precedence', () => {
  it("a controller's emergency sets the purpose unless the crew wrote fire, training or ground-test", async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 1000, purpose: 'emergency' }),
      line('drop', d, '18:30:00', { volume: 1000, purpose: 'jettison' }),
      line('drop', c, '20:30:10', { volume: 1000, purpose: 'emergency' }),
      line('drop', d, '20:30:00', { volume: 1000, purpose: 'fire' }),
      line('drop', c, '22:30:10', { volume: 1000, purpose: 'emergency' }),
    ])
    await match(warehouse, 'all')
    expect(
      await warehouse.rows(
        'SELECT purpose, is_emergency_release AS released FROM ledger.drop ORDER BY dropped_at',
      ),
    ).toEqual([
      { purpose: 'emergency', released: true },
      { purpose: 'fire', released: true },
      { purpose: 'emergency', released: true },
    ])
  })

  it('claims show the value taken and the values it beat', async () => {
    await put(warehouse, [
      line('drop', c, '18:30:10', { volume: 980 }),
      line('drop', d, '18:30:00', { volume: 1200 }),
    ])
    await match(warehouse, 'all')
    expect(
      await warehouse.rows(
        `SELECT witness, value, rank FROM ledger.claim WHERE field = 'volume_gal' ORDER BY rank`,
      ),
    ).toEqual([
      { witness: 'controller', value: '980.0', rank: 1 },
      { witness: 'crew', value: '1200.0', rank: 2 },
    ])
    expect(await warehouse.rows('SELECT finding, message FROM ledger.finding')).toEqual([
      {
        finding: 'volume-disagreement',
        message: 'witnesses differ on the volume by more than 10 %: controller 980, crew 1,200 gal',
      },
    ])
  })
})

describe('loads and flights', () => {
  it('two tickets with no flight between add up to one gauge fill', async () => {
    await put(warehouse, [
      line('load', c, '18:06:00', { volume: 2000 }),
      line('load', 'ticket:t', '18:00:00', { volume: 1200 }),
      line('load', 'ticket:t', '18:05:00', { volume: 810 }),
    ])
    await match(warehouse, 'all')
    expect(await warehouse.rows('SELECT volume_gal, meter_gal, gauge_gal, status FROM ledger.load')).toEqual([
      { volume_gal: 2010, meter_gal: 2010, gauge_gal: 2000, status: 'corroborated' },
    ])
  })

  it('flights of tracker and crew are one where they overlap', async () => {
    await put(warehouse, [
      line('flight', 'tracker:t', '18:10:20', { until: '19:09:40' }),
      line('flight', 'crew:f', '18:10:00', { until: '19:10:00' }),
      line('flight', 'crew:f', '19:40:00', { until: '20:40:00' }),
    ])
    await match(warehouse, 'all')
    expect(
      await warehouse.rows(
        `SELECT strftime(off_at, '%H:%M:%S') AS off, status FROM ledger.flight ORDER BY off_at`,
      ),
    ).toEqual([
      { off: '18:10:20', status: 'corroborated' },
      { off: '19:40:00', status: 'single' },
    ])
  })
})

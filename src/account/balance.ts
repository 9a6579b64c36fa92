import type { Warehouse } from '../warehouse/index.ts'
import { type Steps, type Tank, type Walked, walk } from './walk.ts'

/** Walks the balance of every tank in scope and leaves what it found in `account.walk_drop` and `account.walk_cycle`. */
export async function balance(warehouse: Warehouse): Promise<void> {
  const tanks = await warehouse.rows<{
    capacity_gal: number | null
    doors: number
    is_in_sequence: boolean
    typical_gal: number | null
    closing_gal: number | null
    missing_gal: number | null
    is_unknown: boolean
  }>(
    'SELECT capacity_gal, doors, is_in_sequence, typical_gal, closing_gal, missing_gal, is_unknown FROM holder ORDER BY holder_no',
  )
  const steps = await readSteps(warehouse)
  const walked = walk(
    steps,
    tanks.map(
      (tank): Tank => ({
        capacity_gal: tank.capacity_gal,
        doors: tank.doors,
        opensInSequence: tank.is_in_sequence,
        typical_gal: tank.typical_gal,
        before:
          tank.closing_gal === null
            ? null
            : {
                closing_gal: tank.closing_gal,
                missing_gal: tank.missing_gal ?? 0,
                isUnknown: tank.is_unknown,
              },
      }),
    ),
  )
  await warehouse.run('DELETE FROM account.walk_drop; DELETE FROM account.walk_cycle')
  await writeDrops(warehouse, walked.drops)
  await writeCycles(warehouse, walked.cycles)
  await warehouse.run(`
    UPDATE account.walk_drop SET row_no = s.r FROM walk_step s WHERE s.place = row_no;
    UPDATE account.walk_cycle SET closed_row = s.r FROM walk_step s WHERE s.place = closed_row;
    UPDATE account.walk_cycle SET load_row = s.r FROM walk_step s WHERE s.place = load_row`)
}

/** All of them as doubles: those come out of the database as they lie there. */
const stepColumns = [
  'tank',
  'step',
  'place',
  'time_ms',
  'volume',
  'written',
  'gauge_before',
  'gauge_after',
  'fraction',
  'commanded',
  'is_overflow',
  'is_emergency',
  'is_ground_test',
  'is_doors_named',
]

async function readSteps(warehouse: Warehouse): Promise<Steps> {
  await warehouse.run(await warehouse.readStage('account/steps'))
  const columns = await warehouse.columns(
    `SELECT ${stepColumns.map((name) => `${name}::DOUBLE AS ${name}`).join(', ')} FROM walk_step ORDER BY place`,
  )
  return {
    count: columns.count,
    tank: columns.numbers('tank'),
    step: columns.numbers('step'),
    row: columns.numbers('place'),
    time_ms: columns.numbers('time_ms'),
    volume: columns.numbers('volume'),
    written: columns.numbers('written'),
    gauge_before: columns.numbers('gauge_before'),
    gauge_after: columns.numbers('gauge_after'),
    fraction: columns.numbers('fraction'),
    commanded: columns.numbers('commanded'),
    isOverflow: columns.numbers('is_overflow'),
    isEmergency: columns.numbers('is_emergency'),
    isGroundTest: columns.numbers('is_ground_test'),
    isDoorsNamed: columns.numbers('is_doors_named'),
  }
}

async function writeDrops(warehouse: Warehouse, drops: Walked['drops']): Promise<void> {
  await warehouse.append('account.walk_drop', {
    row_no: drops.map((drop) => drop.row),
    volume_gal: drops.map((drop) => drop.volume),
    basis: drops.map((drop) => drop.basis),
    is_load_missing: drops.map((drop) => drop.isLoadMissing),
    is_command_above_level: drops.map((drop) => drop.isCommandAboveLevel),
    first_door: drops.map((drop) => drop.doors?.first ?? null),
    last_door: drops.map((drop) => drop.doors?.last ?? null),
  })
}

async function writeCycles(warehouse: Warehouse, cycles: Walked['cycles']): Promise<void> {
  await warehouse.append('account.walk_cycle', {
    tank_no: cycles.map((cycle) => cycle.tank),
    load_row: cycles.map((cycle) => cycle.loadRow),
    first_ms: cycles.map((cycle) => cycle.first_ms),
    closed_row: cycles.map((cycle) => cycle.closedRow),
    loaded_gal: cycles.map((cycle) => cycle.loaded),
    dropped_gal: cycles.map((cycle) => cycle.dropped),
    offloaded_gal: cycles.map((cycle) => cycle.offloaded),
    level_before_gal: cycles.map((cycle) => cycle.levelBefore),
    level_after_gal: cycles.map((cycle) => cycle.levelAfter),
    level_at_close_gal: cycles.map((cycle) => cycle.levelAtClose),
    residual_gal: cycles.map((cycle) => cycle.residual),
    missing_gal: cycles.map((cycle) => cycle.missing),
    inferred_openings: cycles.map((cycle) => cycle.inferred),
    short_gal: cycles.map((cycle) => cycle.short),
    is_overfill: cycles.map((cycle) => cycle.isOverfill),
    part_gal: cycles.map((cycle) => cycle.part),
  })
}

import { fullSchema } from '../../src/commands/schema.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import type { World } from '../statistics/bursty-seasons.ts'

const DAY_MS = 86_400_000

/** A warehouse whose account holds the openings of an invented world, one drop per tank and day of use, noon UTC. */
export async function fleetWarehouse(world: World, { doors = 2 } = {}): Promise<Warehouse> {
  const warehouse = await Warehouse.memory(fullSchema)
  const { units, days, firstDay, counts } = world
  const tanks = Array.from({ length: units }, (_, unit) => tankName(unit))
  await warehouse.append('obs.tank', {
    obs_no: tanks.map((_, at) => at + 1),
    fate: tanks.map(() => 'accepted'),
    serial: tanks,
    capacity_gal: tanks.map(() => 2000),
    doors: tanks.map(() => doors),
  })
  const cells: { tank: string; day: number; openings: number }[] = []
  for (let unit = 0; unit < units; unit++)
    for (let day = 0; day < days; day++) {
      const openings = counts[unit * days + day]!
      if (openings > 0) cells.push({ tank: tanks[unit]!, day: firstDay + day, openings })
    }
  await warehouse.append('account.drop', {
    drop: cells.map((cell, at) => `D-${cell.tank}-${at}`),
    tank: cells.map((cell) => cell.tank),
    dropped_at: cells.map((cell) => cell.day * DAY_MS + DAY_MS / 2),
    operating_day: cells.map((cell) => cell.day),
    season: cells.map((cell) => String(new Date(cell.day * DAY_MS).getUTCFullYear())),
    openings: cells.map((cell) => cell.openings),
    is_retardant_opening: cells.map(() => true),
    is_emergency_release: cells.map(() => false),
    is_recorded: cells.map(() => true),
    is_doors_assumed: cells.map(() => true),
  })
  return warehouse
}

export const tankName = (unit: number): string => `K-${unit + 1}`

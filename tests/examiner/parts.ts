import { type Baseline, type Component, type Fitting, utc } from './registry.ts'
import { tanks } from './world.ts'

/** Doors, their actuators and seals, and the other parts of every tank; two doors are swapped in mid-season. */
export const components: Component[] = []
export const fittings: Fitting[] = []
export const baselines: Baseline[] = []
const fitted = utc('2024-08-15T00:00Z')
for (const tank of tanks) {
  const short = tank.serial.slice(3)
  for (let door = 1; door <= tank.doors; door++) {
    for (const kind of ['door', 'actuator', 'seal']) {
      const serial = `${kind.slice(0, 2).toUpperCase()}-${short}-${door}`
      components.push({ serial, kind })
      fittings.push({
        component: serial,
        tank: tank.serial,
        position: `door-${door}`,
        on_at: fitted,
        off_at: null,
      })
    }
  }
  for (const kind of ['vent valve', 'accumulator', 'emergency accumulator', 'level sensor']) {
    const serial = `${kind
      .replace(/[^a-z]/g, '')
      .slice(0, 5)
      .toUpperCase()}-${short}`
    components.push({ serial, kind })
    fittings.push({
      component: serial,
      tank: tank.serial,
      position: kind.replace(' ', '-'),
      on_at: fitted,
      off_at: null,
    })
  }
  baselines.push({
    item: tank.serial,
    counter: 'openings',
    value: 100 * Number(short),
    counted_at: utc('2024-09-01T00:00Z'),
  })
}
// a spare door replaces one in mid-season; the removed door goes into another tank, whose own door is taken off
components.push({ serial: 'DO-SPARE', kind: 'door' })
const swap = (component: string, at: number): Fitting => {
  const open = fittings.find((f) => f.component === component && f.off_at === null)
  if (!open) throw new Error(component)
  open.off_at = at
  return open
}
const swapAt = utc('2025-07-05T06:00Z')
swap('DO-15-1', swapAt)
fittings.push({ component: 'DO-SPARE', tank: 'TK-15', position: 'door-1', on_at: swapAt, off_at: null })
const laterAt = utc('2025-08-02T06:00Z')
swap('DO-13-2', laterAt)
fittings.push({ component: 'DO-15-1', tank: 'TK-13', position: 'door-2', on_at: laterAt, off_at: null })
baselines.push(
  { item: 'DO-15-1', counter: 'door-cycles', value: 1480, counted_at: utc('2024-09-01T00:00Z') },
  { item: 'DO-SPARE', counter: 'door-cycles', value: 77, counted_at: utc('2025-06-01T00:00Z') },
  { item: 'DO-13-1', counter: 'door-cycles', value: 500, counted_at: utc('2025-06-20T00:00Z') },
  { item: 'TK-13', counter: 'fills', value: 900, counted_at: utc('2025-07-01T02:00Z') },
  { item: 'TK-11', counter: 'mounted-hours', value: 1234.5, counted_at: utc('2024-09-01T00:00Z') },
)

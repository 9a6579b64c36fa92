import type { Random } from '../../src/statistics/index.ts'
import type { Desk } from './desk.ts'

const fleet = ['N1', 'N2', 'N3', 'N4']
const fluids = ['retardant', 'water', null]

const pick = <T>(chance: Random, from: readonly T[]): T => from[chance.below(from.length)]!
const is = (chance: Random, share: number): boolean => chance.uniform() < share

/** The day so many days after the first of June of a year. */
export const dayAt = (year: number, index: number): string =>
  new Date(Date.UTC(year, 5, 1 + index)).toISOString().slice(0, 10)

/**
 * Contracts, rates and lines of every make: alone and shared aircraft, zones, tiers, hundredths of hours, tickets right, wrong and
 * twice, days, weeks, lines for no one aircraft, notes that take back a line or a part of it. Plain ones have nothing in them that
 * ties a whole contract together.
 */
export async function fillPapers(desk: Desk, chance: Random, isPlain = false): Promise<void> {
  for (let c = 0; c < 4; c++) {
    const number = `C-${c}`
    const year = pick(chance, [2025, 2026, 2026])
    await desk.contract(number, {
      starts_on: dayAt(year, pick(chance, [0, 20])),
      ends_on: dayAt(year, pick(chance, [60, 90])),
      aircraft: fleet.filter((_, n) => n === c || is(chance, 0.25)),
      volume_tolerance_pct: pick(chance, [0, 2]),
      hours_step: pick(chance, isPlain ? [0.1] : [0.1, 0.1, 0.01]),
      hours_per: pick(chance, ['flight', 'day']),
      emergency_rule: pick(chance, [null, 'paid', 'unpaid']),
      zone: isPlain ? 'America/Boise' : pick(chance, [null, null, null, 'America/Boise']),
    })
    for (const fluid of is(chance, 0.5) ? [null] : ['retardant', 'water']) {
      await desk.rate(number, 'gallon-loaded', '3.25', { fluid })
      if (!isPlain && is(chance, 0.2))
        await desk.rate(number, 'gallon-loaded', '3', { fluid, from_quantity: 9000 })
    }
    await desk.rate(number, 'gallon-delivered', '1.1')
    await desk.rate(number, 'flight-hour', '5000')
    await desk.rate(number, 'availability-day', '9000')
    const hasNotes = !isPlain && is(chance, 0.4)
    let before: Billed | null = null
    for (let l = 0; l < 14; l++) {
      const billed: Billed =
        hasNotes && before && is(chance, 0.3) ? before : chooseBilled(chance, year, isPlain)
      const { item, more, quantity } = billed
      // A note takes back the line before it, or a part of it.
      const sum = billed === before ? -pick(chance, [quantity, quantity / 4]) : quantity
      const texts = [sum, 3.25, sum * 3.25].map(String) as [string, string, string]
      await desk.line(number, `I-${number}-${l % 3}`, `${l}`, item, texts, more)
      before = billed
    }
  }
}

type Billed = ReturnType<typeof chooseBilled>

function chooseBilled(chance: Random, year: number, isPlain: boolean) {
  const item = pick(chance, ['gallon-loaded', 'gallon-loaded', 'gallon-delivered', 'flight-hour'])
  const from = chance.below(95)
  const isOfTicket = item === 'gallon-loaded' ? is(chance, 0.7) : !isPlain && is(chance, 0.05)
  return {
    item,
    quantity: item === 'flight-hour' ? pick(chance, [1.1, 2.2]) : pick(chance, [2000, 2000, 2100, 4000]),
    more: {
      aircraft: is(chance, isPlain ? 0.01 : 0.04) ? null : pick(chance, fleet),
      from_on: dayAt(year, from),
      to_on:
        isOfTicket || is(chance, 0.6)
          ? null
          : dayAt(year, from + pick(chance, isPlain ? [3, 6] : [3, 6, 30])),
      ticket: isOfTicket ? `T${chance.below(40)}` : null,
      fluid: pick(chance, [null, null, 'retardant']),
    },
  }
}

/** What the fleet did on so many days of a year, ids marked by `name`; now and then a load is carried to the next morning. */
export async function fillDays(
  desk: Desk,
  chance: Random,
  name: string,
  days: readonly string[],
  aircraft: readonly string[] = fleet,
): Promise<void> {
  for (const day of days)
    for (const one of aircraft) {
      if (is(chance, 0.35)) continue
      const minute = `${10 + chance.below(40)}`
      const at = (hour: string): string => `${day}T${hour}:${minute}:0${name.length}`
      const ticket = is(chance, 0.6) ? { ticket: `T${chance.below(40)}` } : {}
      const load = await desk.load(at(pick(chance, ['04', '18'])), pick(chance, [2000, 2000, 1900]), {
        aircraft: one,
        fluid: pick(chance, fluids),
        ...ticket,
      })
      for (const hour of ['19', '23'])
        if (is(chance, 0.5))
          await desk.drop(at(hour), pick(chance, [900, 1000, null]), {
            aircraft: one,
            load,
            purpose: pick(chance, ['fire', 'fire', 'emergency', 'jettison']),
          })
      await desk.flight(at('20'), 66, { aircraft: one, ...(is(chance, 0.5) ? { hours: 1.1 } : {}) })
      if (is(chance, 0.01)) await desk.flight(at('21'), 66, { aircraft: one, hours: 1.13 })
    }
}

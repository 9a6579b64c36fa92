import { DAY, dayOf } from './clock.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'
import type { Witness, World } from './truth.ts'

export interface ClockOffset {
  witness: Witness
  aircraft: string
  day: string
  /** The witness's clock minus UTC: positive reads late. Before any rounding of what is written. */
  offset_min: number
}

/** What each witness's clock of each aircraft shows on each operating day. */
export interface ClockBook {
  /** Seconds to add to the true time. */
  offset(witness: Witness, aircraft: string, day: string): number
  /** Every witness × aircraft × day that was asked for, the right clocks too. */
  asked(): ClockOffset[]
}

const faulty: readonly Witness[] = ['controller', 'crew', 'tracker', 'ticket']

export function clockBook(world: World, settings: Settings, random: Random): ClockBook {
  const { mess } = settings
  const offsets = new Map<string, number>()
  const asked = new Map<string, ClockOffset>()
  const key = (witness: Witness, aircraft: string, day: string): string => `${witness} ${aircraft} ${day}`
  const days = Array.from({ length: world.days }, (_, index) => dayOf(world.start + index * DAY, 'UTC'))
  for (const { registration } of world.aircraft) {
    for (const witness of faulty) {
      const own = random.fork(`${witness} ${registration}`)
      if (own.chance(mess.drift_share)) {
        const span = own.whole(20, 60)
        const most = own.pick([-1, 1]) * mess.drift_min * 60
        for (const [index, day] of days.entries())
          offsets.set(key(witness, registration, day), Math.round((most * (index % span)) / span))
      }
      for (let runs = own.poisson((mess.hour_runs * world.days) / 30); runs > 0; runs--) {
        const first = own.whole(0, world.days - 1)
        const hour = own.pick([-3600, 3600])
        for (const day of days.slice(first, first + own.whole(3, 9)))
          offsets.set(key(witness, registration, day), hour)
      }
    }
  }
  for (const fault of mess.clock_faults)
    for (const day of days)
      if (day >= fault.from_day && day <= fault.to_day)
        offsets.set(key(fault.witness, fault.aircraft, day), fault.offset_min * 60)
  return {
    offset(witness, aircraft, day) {
      const known = key(witness, aircraft, day)
      const seconds = offsets.get(known) ?? 0
      asked.set(known, { witness, aircraft, day, offset_min: seconds / 60 })
      return seconds
    },
    asked: () => [...asked.values()].sort((a, b) => (a.day + a.aircraft < b.day + b.aircraft ? -1 : 1)),
  }
}

/** The moment that a witness writes: by its own clock, to its own nearest minutes. */
export function written(book: ClockBook, settings: Settings, witness: Witness, event: Told): number {
  const at = event.at + book.offset(witness, event.aircraft, event.day)
  const step = (settings.mess.round_min[witness] ?? 0) * 60
  return step > 0 ? Math.round(at / step) * step : at
}

interface Told {
  at: number
  aircraft: string
  day: string
}

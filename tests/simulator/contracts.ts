import type { Claim } from './claims.ts'
import { DAY, dayOf } from './clock.ts'
import { amountCents, hoursHalfUp } from './money.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'
import type { Events, World } from './truth.ts'

export interface Contract {
  number: string
  starts_on: string
  ends_on: string
  aircraft: string[]
  volume_tolerance_pct: number
  hours_step: 0.1 | 0.01
  hours_per: 'flight' | 'day'
  emergency_rule: 'paid' | 'unpaid'
}

export interface Rate {
  contract: string
  item: string
  fluid: string | null
  unit_price: string
  from_quantity: number | null
  to_quantity: number | null
  starts_on: string | null
  ends_on: string | null
}

export interface InvoiceLine {
  invoice: string
  line: number
  contract: string
  item: string
  aircraft: string | null
  from_on: string
  to_on: string | null
  ticket: string | null
  fluid: string | null
  quantity: number
  unit_price: string
  amount: bigint
}

export interface Availability {
  aircraft: string
  day: string
  status: 'available' | 'unavailable'
  contract: string
}

export interface Paperwork {
  contracts: Contract[]
  rates: Rate[]
  lines: InvoiceLine[]
  availability: Availability[]
}

const monthEnd = (day: string): string => {
  const [year, month] = day.split('-').map(Number)
  return new Date(Date.UTC(year!, month!, 0)).toISOString().slice(0, 10)
}
const smaller = (a: string, b: string): string => (a < b ? a : b)

function makeRates(contracts: readonly Contract[]): Rate[] {
  const [a, b] = contracts
  const rate = (contract: Contract, item: string, unit_price: string, more: Partial<Rate> = {}): Rate => ({
    contract: contract.number,
    item,
    unit_price,
    fluid: null,
    from_quantity: null,
    to_quantity: null,
    starts_on: null,
    ends_on: null,
    ...more,
  })
  const turn = dayOf(Date.parse(`${a!.starts_on}T00:00:00Z`) / 1000 + 61 * DAY, 'UTC')
  const eve = dayOf(Date.parse(`${turn}T00:00:00Z`) / 1000 - DAY, 'UTC')
  return [
    rate(a!, 'flight-hour', '6150.00', { ends_on: eve }),
    rate(a!, 'flight-hour', '6480.00', { starts_on: turn }),
    rate(a!, 'availability-day', '9800.00'),
    rate(a!, 'gallon-loaded', '3.42', { fluid: 'retardant' }),
    rate(a!, 'gallon-loaded', '2.985', { fluid: 'gel' }),
    rate(a!, 'gallon-loaded', '0.35', { fluid: 'water' }),
    rate(a!, 'gallon-loaded', '0.9125', { fluid: 'foam' }),
    ...(b
      ? [
          rate(b, 'flight-hour', '4210.50'),
          rate(b, 'availability-day', '5125.00'),
          rate(b, 'gallon-delivered', '2.1050'),
          rate(b, 'fixed', '1500.00'),
        ]
      : []),
  ]
}

/** Puts a tier into a contract's price of loaded retardant, at a ticket's edge so that no line lies across it. */
function addTier(rates: Rate[], contract: Contract, loads: readonly Claim[]): void {
  const own = loads.filter((load) => load.values.fluid === 'retardant')
  const edge = own
    .slice(0, Math.floor(own.length * 0.6))
    .reduce((sum, load) => sum + (load.values.volume_gal as number), 0)
  const rate = rates.find(
    (one) => one.contract === contract.number && one.item === 'gallon-loaded' && one.fluid === 'retardant',
  )!
  rate.from_quantity = 0
  rate.to_quantity = edge
  rates.push({ ...rate, from_quantity: edge, to_quantity: null, unit_price: '3.105' })
}

/**
 * Two contracts with half of the fleet each, and a right invoice a month: `A` bills hours to tenths per
 * flight and gallons by ticket, `B` hours to hundredths per day and gallons by what was dropped on fires.
 */
export function makePaperwork(
  world: World,
  events: Events,
  claims: readonly Claim[],
  settings: Settings,
  random: Random,
): Paperwork {
  const last = dayOf(world.start + (world.days - 1) * DAY, 'UTC')
  const fleets = [0, 1].map((half) =>
    world.aircraft.filter((_, index) => index % 2 === half).map((one) => one.registration),
  )
  const lastLoad = claims
    .filter((one) => one.witness === 'ticket' && fleets[0]!.includes(one.aircraft))
    .at(-1)
  const eve = lastLoad ? dayOf(Date.parse(`${lastLoad.day}T00:00:00Z`) / 1000 - DAY, 'UTC') : last
  /** `A` ends a day before its last load, so that there is work outside its period. */
  const until = world.days > 40 && eve > settings.start ? eve : last
  const contracts = fleets
    .filter((fleet) => fleet.length > 0)
    .map(
      (aircraft, index): Contract => ({
        number: `ZY-26-${'AB'[index]}`,
        starts_on: settings.start,
        ends_on: index === 0 ? until : last,
        aircraft,
        volume_tolerance_pct: 2,
        hours_step: index === 0 ? 0.1 : 0.01,
        hours_per: index === 0 ? 'flight' : 'day',
        emergency_rule: index === 0 ? 'paid' : 'unpaid',
      }),
    )
  const rates = makeRates(contracts)
  const days = Array.from({ length: world.days }, (_, index) => dayOf(world.start + index * DAY, 'UTC'))
  const tickets = claims
    .filter((claim) => claim.witness === 'ticket')
    .sort((a, b) => a.happened - b.happened)
    .filter((claim) => contracts[0]!.aircraft.includes(claim.aircraft) && claim.day <= contracts[0]!.ends_on)
  if (settings.tiers) addTier(rates, contracts[0]!, tickets)
  const availability: Availability[] = []
  const lines: InvoiceLine[] = []
  for (const contract of contracts) {
    const running = new Map<string, number>()
    const priceOf = (item: string, fluid: string | null, day: string, quantity: number): string => {
      const key = `${item} ${fluid}`
      const before = running.get(key) ?? 0
      running.set(key, before + quantity)
      return rates.find(
        (rate) =>
          rate.contract === contract.number &&
          rate.item === item &&
          (rate.fluid === null || rate.fluid === fluid) &&
          (rate.starts_on ?? '') <= day &&
          day <= (rate.ends_on ?? '9999') &&
          (rate.from_quantity ?? 0) <= before &&
          before < (rate.to_quantity ?? Infinity),
      )!.unit_price
    }
    const own = days.filter((day) => day <= contract.ends_on)
    const bill = (item: string, day: string, quantity: number, more: Partial<InvoiceLine>): void => {
      const unit_price = priceOf(item, more.fluid ?? null, day, quantity)
      const invoice = `INV-${contract.number.slice(-1)}-${day.slice(2, 7).replace('-', '')}`
      const blank = { aircraft: null, to_on: null, ticket: null, fluid: null }
      const amount = amountCents(unit_price, quantity)
      const line = { invoice, line: 0, contract: contract.number, item, ...blank, from_on: day, quantity }
      lines.push({ ...line, unit_price, amount, ...more })
    }
    for (const aircraft of contract.aircraft) {
      const up = own.filter((day) => {
        const status = random.chance(0.03) ? 'unavailable' : 'available'
        availability.push({ aircraft, day, status, contract: contract.number })
        return status === 'available'
      })
      for (const month of new Set(up.map((day) => day.slice(0, 7)))) {
        const inside = up.filter((day) => day.startsWith(month))
        const from = own.find((day) => day.startsWith(month))!
        const to_on = smaller(monthEnd(from), contract.ends_on)
        bill('availability-day', from, inside.length, { aircraft, to_on })
      }
      for (const day of own) {
        const minutes = events.flights
          .filter((one) => one.aircraft === aircraft && one.day === day && one.witnesses.length > 0)
          .map((one) => (one.on - one.off) / 60)
        const total = minutes.reduce((sum, one) => sum + one, 0)
        const tenths = minutes.reduce((sum, one) => sum + hoursHalfUp(one, 10) * 10, 0)
        const hours = contract.hours_per === 'flight' ? Math.round(tenths) / 10 : hoursHalfUp(total, 100)
        if (hours > 0) bill('flight-hour', day, hours, { aircraft })
        if (contract !== contracts[0]) {
          const gallons = events.drops
            .filter((one) => one.aircraft === aircraft && one.day === day && one.purpose === 'fire')
            .filter((one) => one.witnesses.length > 0)
            .reduce((sum, one) => sum + one.volume_gal, 0)
          if (gallons > 0) bill('gallon-delivered', day, gallons, { aircraft })
        }
      }
    }
    if (contract === contracts[0])
      for (const { aircraft, day, values } of tickets) {
        const [ticket, fluid] = [values.ticket as string, values.fluid as string]
        const gallons = values.volume_gal as number
        if (gallons > 0) bill('gallon-loaded', day, gallons, { aircraft, ticket, fluid })
      }
    else
      for (const month of new Set(own.map((day) => day.slice(0, 7))))
        bill('fixed', own.find((day) => day.startsWith(month))!, 1, {})
  }
  number(lines)
  return { contracts, rates, lines, availability }
}

/** Numbers the lines of each invoice from 1. */
export function number(lines: InvoiceLine[]): void {
  const next = new Map<string, number>()
  for (const line of lines) {
    line.line = (next.get(line.invoice) ?? 0) + 1
    next.set(line.invoice, line.line)
  }
}

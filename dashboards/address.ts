/** What the address holds: the page, the filters, how values are shown, and the record that is open. */
export const filterNames = ['season', 'from', 'to', 'aircraft', 'tank', 'base', 'fire', 'fluid'] as const
/** What the pages of tanks stand on: the day, the days that a visit looks ahead, and what is planned (see `due-what-if`). */
export const planNames = ['as_of', 'ahead', 'per_day', 'window', 'done', 'swap'] as const
export type PlanName = (typeof planNames)[number]
export type Plan = Partial<Record<PlanName, string>>
export type FilterName = (typeof filterNames)[number]
export type Filters = Partial<Record<FilterName, string>>
export type Units = 'us' | 'metric'

export interface Address {
  readonly page: string
  readonly filters: Filters
  readonly plan: Plan
  readonly units: Units
  /** An IANA zone or UTC. */
  readonly zone: string
  /** `kind:id` of the record whose evidence is open. */
  readonly evidence: string | null
}

export interface AddressChange {
  page?: string
  filters?: Partial<Record<FilterName, string | null>>
  plan?: Partial<Record<PlanName, string | null>>
  units?: Units
  zone?: string
  evidence?: string | null
}

/** Reads `?season=2026&units=metric#/fires`. An unknown zone falls back to UTC. */
export function readAddress(search: string, hash: string): Address {
  const query = new URLSearchParams(search)
  const given = <N extends string>(names: readonly N[]): Partial<Record<N, string>> => {
    const found: Partial<Record<N, string>> = {}
    for (const name of names) {
      const value = query.get(name)?.trim()
      if (value) found[name] = value
    }
    return found
  }
  const zone = query.get('zone') ?? 'UTC'
  return {
    page: hash.replace(/^#\/?/, '') || 'season',
    filters: given(filterNames),
    plan: given(planNames),
    units: query.get('units') === 'metric' ? 'metric' : 'us',
    zone: isZone(zone) ? zone : 'UTC',
    evidence: query.get('evidence'),
  }
}

/** The address as a link, relative to the page. Same address, same text: the names stand in one order. */
export function writeAddress(address: Address): string {
  const query = new URLSearchParams()
  for (const name of filterNames) {
    const value = address.filters[name]
    if (value) query.set(name, value)
  }
  for (const name of planNames) {
    const value = address.plan[name]
    if (value) query.set(name, value)
  }
  if (address.units === 'metric') query.set('units', 'metric')
  if (address.zone !== 'UTC') query.set('zone', address.zone)
  if (address.evidence) query.set('evidence', address.evidence)
  return `?${query}#/${address.page}`
}

export function changeAddress(address: Address, change: AddressChange): Address {
  return {
    page: change.page ?? address.page,
    filters: changed(address.filters, change.filters),
    plan: changed(address.plan, change.plan),
    units: change.units ?? address.units,
    zone: change.zone ?? address.zone,
    evidence: change.evidence === undefined ? address.evidence : change.evidence,
  }
}

function changed<N extends string>(
  known: Partial<Record<N, string>>,
  change: Partial<Record<N, string | null>> = {},
): Partial<Record<N, string>> {
  const values: Partial<Record<N, string>> = { ...known }
  for (const [name, value] of Object.entries(change) as [N, string | null][]) {
    if (value) values[name] = value
    else delete values[name]
  }
  return values
}

export function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone })
    return true
  } catch {
    return false
  }
}

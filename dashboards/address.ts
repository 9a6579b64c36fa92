/** What the address holds: the page, the filters, how values are shown, and the record that is open. */
export const filterNames = ['season', 'from', 'to', 'aircraft', 'tank', 'base', 'fire', 'fluid'] as const
export type FilterName = (typeof filterNames)[number]
export type Filters = Partial<Record<FilterName, string>>
export type Units = 'us' | 'metric'

export interface Address {
  readonly page: string
  readonly filters: Filters
  readonly units: Units
  /** An IANA zone or UTC. */
  readonly zone: string
  /** `kind:id` of the record whose evidence is open. */
  readonly evidence: string | null
}

export interface AddressChange {
  page?: string
  filters?: Partial<Record<FilterName, string | null>>
  units?: Units
  zone?: string
  evidence?: string | null
}

/** Reads `?season=2026&units=metric#/fires`. An unknown zone falls back to UTC. */
export function readAddress(search: string, hash: string): Address {
  const query = new URLSearchParams(search)
  const filters: Filters = {}
  for (const name of filterNames) {
    const value = query.get(name)?.trim()
    if (value) filters[name] = value
  }
  const zone = query.get('zone') ?? 'UTC'
  return {
    page: hash.replace(/^#\/?/, '') || 'season',
    filters,
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
  if (address.units === 'metric') query.set('units', 'metric')
  if (address.zone !== 'UTC') query.set('zone', address.zone)
  if (address.evidence) query.set('evidence', address.evidence)
  return `?${query}#/${address.page}`
}

export function changeAddress(address: Address, change: AddressChange): Address {
  const filters: Filters = { ...address.filters }
  for (const [name, value] of Object.entries(change.filters ?? {})) {
    if (value) filters[name as FilterName] = value
    else delete filters[name as FilterName]
  }
  return {
    page: change.page ?? address.page,
    filters,
    units: change.units ?? address.units,
    zone: change.zone ?? address.zone,
    evidence: change.evidence === undefined ? address.evidence : change.evidence,
  }
}

export function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: zone })
    return true
  } catch {
    return false
  }
}

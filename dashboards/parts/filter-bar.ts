import { type Address, type AddressChange, type FilterName, filterNames, isZone } from '../address.ts'
import type { Api } from '../api.ts'
import { h } from '../h.ts'

const labels: Readonly<Record<FilterName, string>> = {
  season: 'Season',
  from: 'From',
  to: 'To',
  aircraft: 'Aircraft',
  tank: 'Tank',
  base: 'Base',
  fire: 'Fire',
  fluid: 'Fluid',
}

/** The one filter bar. It writes the address; the address writes it back, so a link and the bar never differ. */
export class FilterBar {
  readonly element: HTMLElement
  /** The choice of units and zone, which stands in the masthead. */
  readonly faces: HTMLElement
  private readonly controls = new Map<FilterName, HTMLSelectElement | HTMLInputElement>()
  private readonly units: HTMLSelectElement
  private readonly zone: HTMLSelectElement
  private readonly clear: HTMLButtonElement
  private readonly summary = h('summary', {}, 'Filters')

  constructor(change: (change: AddressChange) => void) {
    const set = (name: FilterName, value: string): void => change({ filters: { [name]: value || null } })
    const fields = filterNames.map((name) => {
      const control =
        name === 'from' || name === 'to' ? h('input', { type: 'date', name }) : h('select', { name })
      control.addEventListener('change', () => set(name, control.value))
      this.controls.set(name, control)
      return h('label', {}, labels[name], control)
    })
    this.units = h(
      'select',
      { name: 'units', onchange: () => change({ units: this.units.value === 'metric' ? 'metric' : 'us' }) },
      h('option', { value: 'us' }, 'US: gal, ft'),
      h('option', { value: 'metric' }, 'Metric: L, m'),
    )
    this.zone = h('select', { name: 'zone', onchange: () => change({ zone: this.zone.value }) })
    this.clear = h(
      'button',
      {
        type: 'button',
        class: 'plain',
        onclick: () => change({ filters: Object.fromEntries(filterNames.map((name) => [name, null])) }),
      },
      'Clear filters',
    )
    const details = h(
      'details',
      { class: 'filters', open: true },
      this.summary,
      h('div', { class: 'fields' }, fields, this.clear),
    )
    this.faces = h(
      'div',
      { class: 'faces' },
      h('label', {}, 'Units ', this.units),
      h('label', {}, 'Times in ', this.zone),
    )
    if (window.matchMedia('(max-width: 700px)').matches) details.open = false
    this.element = h('search', { 'aria-label': 'Filters' } as never, details)
  }

  /** What can be chosen: of the season where one is chosen, else of the whole warehouse. */
  async offer(api: Api, { filters }: Address): Promise<void> {
    const within = filters.season ? { season: filters.season } : {}
    const list = async (query: string, column: string, label?: string): Promise<[string, string][]> => {
      if (!api.has(query)) return []
      const rows = await api.query<Record<string, string | null>>(query, within)
      const pairs = rows.map((row): [string, string] => [
        row[column] ?? '',
        label && row[label] ? `${row[column]} ${row[label]}` : (row[column] ?? ''),
      ])
      return [...new Map(pairs.filter(([value]) => value && value !== 'no drop')).entries()]
    }
    const [aircraft, bases, fires, tanks] = await Promise.all([
      list('gallons-by-aircraft', 'aircraft', 'call_number'),
      list('gallons-by-base', 'base', 'name'),
      list('gallons-by-fire', 'fire', 'name'),
      list('tanks', 'tank'),
    ])
    this.fill(
      'season',
      'All seasons',
      api.status.seasons.map((season) => [season, season]),
    )
    this.fill('aircraft', 'All', aircraft)
    this.fill('base', 'All', bases)
    this.fill('fire', 'All', fires)
    this.fill('tank', 'All', tanks)
    this.fill(
      'fluid',
      'All',
      ['retardant', 'water', 'gel', 'foam'].map((fluid) => [fluid, fluid]),
    )
    const own = Intl.DateTimeFormat().resolvedOptions().timeZone
    const zones = [
      ...new Set(['UTC', api.status.home_zone, own].filter((zone): zone is string => !!zone && isZone(zone))),
    ]
    this.zone.replaceChildren(...zones.map((zone) => h('option', { value: zone }, zone)))
  }

  private fill(name: FilterName, all: string, options: readonly (readonly [string, string])[]): void {
    const control = this.controls.get(name)
    if (control instanceof HTMLSelectElement)
      control.replaceChildren(
        h('option', { value: '' }, all),
        ...options.map(([value, label]) => h('option', { value }, label)),
      )
  }

  show(address: Address): void {
    let set = 0
    for (const [name, control] of this.controls) {
      const value = address.filters[name] ?? ''
      if (value) set++
      if (control instanceof HTMLSelectElement) keep(control, value)
      control.value = value
      control.classList.toggle('set', !!value)
    }
    keep(this.zone, address.zone)
    this.zone.value = address.zone
    this.units.value = address.units
    this.clear.hidden = !set
    this.summary.textContent = set
      ? `Filters: ${filterNames.flatMap((name) => (address.filters[name] ? [`${labels[name].toLowerCase()} ${address.filters[name]}`] : [])).join(', ')}`
      : 'Filters: none set'
  }
}

/** A value that came with the link stays choosable though the list does not know it. */
function keep(select: HTMLSelectElement, value: string): void {
  if (value && ![...select.options].some((option) => option.value === value))
    select.append(h('option', { value }, value))
}

import {
  type Address,
  type AddressChange,
  changeAddress,
  type FilterName,
  type Filters,
  filterNames,
  writeAddress,
} from './address.ts'
import type { Api } from './api.ts'
import type { ChartOptions } from './charts/chart.ts'

/** How the reader left a table: sorted by which column, and how many rows are shown. */
export interface TableReading {
  by: string
  isDown: boolean
  shown: number
}

/** What a page is drawn from: the warehouse and the address, and how to make links to other views of it. */
export class Context {
  readonly api: Api
  readonly address: Address
  private readonly follow: (link: string) => void
  private readonly readings: Map<string, TableReading>
  constructor(
    api: Api,
    address: Address,
    follow: (link: string) => void = () => undefined,
    readings = new Map<string, TableReading>(),
  ) {
    this.api = api
    this.address = address
    this.follow = follow
    this.readings = readings
  }

  /**
   * For an answer of its own: what it asks is not mixed with what others ask.
   * @param readings how its tables were left when they were drawn before.
   */
  own(readings = this.readings): Context {
    return new Context(this.api, this.address, this.follow, readings)
  }

  /** How the table under this caption was left; what its reader does to it is kept here for when it is drawn again. */
  reading(caption: string, shown: number): TableReading {
    const reading = this.readings.get(caption) ?? { by: '', isDown: false, shown }
    this.readings.set(caption, reading)
    return reading
  }

  /** The same page narrowed further. */
  narrowed(change: AddressChange): Context {
    return new Context(this.api, changeAddress(this.address, change), this.follow, this.readings)
  }

  /** Opens the address with the change made to it. */
  go(change: AddressChange): void {
    this.follow(this.link(change))
  }

  get filters(): Filters {
    return this.address.filters
  }

  /** Questions asked through this context. */
  readonly asked = new Set<string>()

  query<R>(name: string, more: Record<string, string> = {}): Promise<R[]> {
    this.asked.add(name)
    return this.api.query<R>(name, this.filters, more)
  }

  /** Rows of a question when the warehouse knows it; null when it is not on record. */
  async maybe<R>(name: string, more: Record<string, string> = {}): Promise<R[] | null> {
    return this.api.has(name) ? this.query<R>(name, more) : null
  }

  /** Filters that are set and that a question asked does not take: its answer is of more than was chosen. */
  filtersLeftOut(): FilterName[] {
    const isTaken = (filter: FilterName): boolean =>
      [...this.asked].every((name) => {
        const params = this.api.queries.get(name)?.params ?? []
        return (
          params.includes(filter) || ((filter === 'to' || filter === 'season') && params.includes('as_of'))
        )
      })
    return filterNames.filter((filter) => this.filters[filter] && !isTaken(filter))
  }

  link(change: AddressChange): string {
    return writeAddress(changeAddress(this.address, change))
  }

  evidence(kind: string, id: string): string {
    return this.link({ evidence: `${kind}:${id}` })
  }

  chartOptions(): ChartOptions {
    return {
      units: this.address.units,
      zone: this.address.zone,
      live: true,
      link: (narrow) => this.link({ filters: narrow }),
      evidence: (kind, id) => this.evidence(kind, id),
    }
  }
}

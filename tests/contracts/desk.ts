import { fullSchema } from '../../src/commands/schema.ts'
import { reconcile } from '../../src/contracts/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

type Value = string | number | boolean | null
type Fields = Record<string, Value | string[]>

export interface LineVerdict {
  contract: string
  invoice: string
  line: string
  findings: string[]
  billed: number
  supported: number
  amount: string
  borne: string
  difference: string
  message: string
  evidence: string[]
}

const tables = [
  'obs.contract',
  'obs.rate',
  'obs.invoice_line',
  'obs.availability',
  'obs.aircraft',
  'obs.season',
  'obs.base',
  'ledger.load',
  'account.load',
  'ledger."drop"',
  'account."drop"',
  'ledger.flight',
  'account.flight',
  'account.meter_bias',
  'raw.amendment',
]

const day = (at: string): string => at.slice(0, 10)

/** A desk with contracts, invoices and an account laid out by hand. Times are UTC texts, `2026-07-04T18:00`. */
export class Desk {
  readonly warehouse: Warehouse
  #number = 0

  private constructor(warehouse: Warehouse) {
    this.warehouse = warehouse
  }

  static async open(): Promise<Desk> {
    return new Desk(await Warehouse.memory(fullSchema))
  }

  async clear(): Promise<void> {
    this.#number = 0
    for (const table of tables) await this.warehouse.run(`DELETE FROM ${table}`)
  }

  /** Everything that is held against the account, as text, by table. */
  async picture(): Promise<Record<string, unknown>> {
    const out: Record<string, unknown> = {}
    for (const table of ['line', 'unbilled', 'loaded_at_base', 'loaded_on_day', 'bill', 'finding'])
      out[table] = (
        await this.warehouse.rows(`SELECT t::VARCHAR AS text FROM contracts.${table} t ORDER BY 1`)
      ).map((row) => row.text)
    return out
  }

  async #insert(table: string, fields: Fields): Promise<void> {
    const names = Object.keys(fields)
    const values = Object.values(fields).map((value) =>
      value === null
        ? 'NULL'
        : Array.isArray(value)
          ? `[${value.map((one) => `'${one}'`).join(', ')}]`
          : typeof value === 'string'
            ? `'${value.replaceAll("'", "''")}'`
            : String(value),
    )
    await this.warehouse.run(
      `INSERT INTO ${table}(${names.map((name) => `"${name}"`).join(', ')}) VALUES (${values.join(', ')})`,
    )
  }

  #observed(table: string, fields: Fields): Promise<void> {
    this.#number++
    return this.#insert(`obs.${table}`, { obs_no: this.#number * 16, fate: 'accepted', ...fields })
  }

  /** July 2026, N1, dollars, no tolerance, hours to tenths half-up per flight, unless said otherwise. */
  contract(number: string, more: Fields = {}): Promise<void> {
    return this.#observed('contract', {
      number,
      starts_on: '2026-07-01',
      ends_on: '2026-07-31',
      aircraft: ['N1'],
      currency: 'USD',
      ...more,
    })
  }

  rate(contract: string, item: string, unit_price: string, more: Fields = {}): Promise<void> {
    return this.#observed('rate', { contract, item, unit_price, ...more })
  }

  /** `quantity × price = amount` of N1 on 4 July, unless said otherwise. */
  line(
    contract: string,
    invoice: string,
    line: string,
    item: string,
    sum: [string, string, string],
    more: Fields = {},
  ): Promise<void> {
    const [quantity, unit_price, amount] = sum
    const own = { aircraft: 'N1', from_on: '2026-07-04', quantity, unit_price, amount }
    return this.#observed('invoice_line', { contract, invoice, line, item, ...own, ...more })
  }

  async load(
    at: string,
    volume_gal: number,
    more: {
      ticket?: string
      fluid?: string | null
      aircraft?: string
      base?: string
      day?: string
      season?: string
    } = {},
  ): Promise<string> {
    const aircraft = more.aircraft ?? 'N1'
    const load = `L-${aircraft}-${at}`
    const fluid = more.fluid === undefined ? 'retardant' : more.fluid
    await this.#insert('ledger.load', {
      load,
      aircraft,
      loaded_at: at,
      volume_gal,
      ticket: more.ticket ?? null,
      fluid,
    })
    await this.#insert('account.load', {
      load,
      aircraft,
      loaded_at: at,
      operating_day: more.day ?? day(at),
      season: more.season ?? at.slice(0, 4),
      fluid,
      base: more.base ?? 'JUN',
    })
    return load
  }

  async drop(
    at: string,
    volume_gal: number | null,
    more: { purpose?: string; load?: string; fluid?: string; aircraft?: string; day?: string } = {},
  ): Promise<string> {
    const aircraft = more.aircraft ?? 'N1'
    const id = `D-${aircraft}-${at}`
    await this.#insert('ledger."drop"', { drop: id, aircraft, dropped_at: at, volume_gal })
    await this.#insert('account."drop"', {
      drop: id,
      aircraft,
      dropped_at: at,
      volume_gal,
      purpose: more.purpose ?? 'fire',
      load: more.load ?? null,
      fluid: more.fluid ?? 'retardant',
      operating_day: more.day ?? day(at),
      season: at.slice(0, 4),
    })
    return id
  }

  /** A flight of so many minutes; `hours` is an hour meter's reading. */
  async flight(
    off: string,
    minutes: number,
    more: { hours?: number; aircraft?: string; day?: string } = {},
  ): Promise<string> {
    const aircraft = more.aircraft ?? 'N1'
    const flight = `F-${aircraft}-${off}`
    const on = new Date(Date.parse(`${off}Z`) + minutes * 60_000).toISOString().slice(0, 19)
    await this.#insert('ledger.flight', {
      flight,
      aircraft,
      off_at: off,
      on_at: on,
      hours: more.hours ?? null,
    })
    await this.#insert('account.flight', {
      flight,
      aircraft,
      off_at: off,
      on_at: on,
      operating_day: more.day ?? day(off),
      season: off.slice(0, 4),
      airborne_hours: minutes / 60,
    })
    return flight
  }

  ready(dayOn: string, more: Fields = {}): Promise<void> {
    return this.#observed('availability', { aircraft: 'N1', day: dayOn, status: 'available', ...more })
  }

  base(code: string, meter_class: string): Promise<void> {
    return this.#observed('base', { code, name: code, zone: 'UTC', meter_class })
  }

  season(name: string, starts_on: string, ends_on: string): Promise<void> {
    return this.#observed('season', { name, starts_on, ends_on })
  }

  /** Lines in the order in which they were laid out. */
  async verdicts(): Promise<LineVerdict[]> {
    await reconcile(this.warehouse)
    return this.warehouse.rows<LineVerdict>(`
      SELECT l.contract, l.invoice, l.line, l.findings, l.billed_quantity::DOUBLE AS billed, l.supported_quantity::DOUBLE AS supported, l.billed_amount AS amount,
        l.supported_amount AS borne, l.difference_amount AS difference, l.message, l.evidence
      FROM contracts.line l JOIN obs.invoice_line o ON o.contract = l.contract AND o.invoice = l.invoice AND o.line = l.line ORDER BY o.obs_no`)
  }

  unbilled(): Promise<
    { contract: string; item: string; aircraft: string; day: string; quantity: number; amount: string }[]
  > {
    return this.warehouse.rows(
      'SELECT contract, item, aircraft, day, quantity::DOUBLE AS quantity, amount FROM contracts.unbilled ORDER BY ALL',
    )
  }

  close(): Promise<void> {
    return this.warehouse.close()
  }
}

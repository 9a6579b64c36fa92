import { account } from '../../src/account/index.ts'
import type { Catalogue } from '../../src/catalogue/index.ts'
import { openCatalogue } from '../../src/commands/catalogue.ts'
import { fullSchema } from '../../src/commands/schema.ts'
import { assess } from '../../src/effectiveness/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

export { type Fields, happened, only, put, register } from '../account/fixture.ts'

export type Row = Record<string, unknown>

/** An empty warehouse with every room's tables, and the questions in front of it. */
export class Room {
  readonly warehouse: Warehouse
  readonly #catalogue: Catalogue = openCatalogue()

  private constructor(warehouse: Warehouse) {
    this.warehouse = warehouse
  }

  static async open(): Promise<Room> {
    return new Room(await Warehouse.memory(fullSchema))
  }

  /** Account and findings of what the ledger holds. */
  async compute(): Promise<void> {
    await account(this.warehouse, 'all')
    await assess(this.warehouse)
  }

  async ask(name: string, given: Record<string, string | number> = {}): Promise<Row[]> {
    return (await this.#catalogue.run(this.warehouse, name, given)).toObjects() as Promise<Row[]>
  }

  async findings(kind?: string): Promise<Row[]> {
    return this.warehouse.rows(
      `SELECT finding, severity, subject, message, evidence, tank FROM effectiveness.finding
       WHERE $kind IS NULL OR finding = $kind ORDER BY finding, subject`,
      { kind: kind ?? null },
    )
  }

  async close(): Promise<void> {
    await this.#catalogue.close()
    await this.warehouse.close()
  }
}

const day = 86_400_000

/** A moment so many days after 1 June 2026, 18:00 UTC, and minutes later. */
export const moment = (days: number, minutes = 0): string =>
  new Date(Date.UTC(2026, 5, 1, 18) + days * day + minutes * 60_000).toISOString().slice(0, 19)

import { DuckDBInstance } from '@duckdb/node-api'
import { opened } from './opening.ts'

/** Another process holds the warehouse. */
export class WarehouseBusy extends Error {
  constructor(path: string) {
    super(`the warehouse ${path} is in use by another gallonage process; wait for it to finish, or stop it`)
    this.name = 'WarehouseBusy'
  }
}

/** The file is there, and is no warehouse that this version can read. */
export class WarehouseUnreadable extends Error {
  constructor(path: string, reason: string) {
    super(`the warehouse ${path} cannot be opened: ${reason}`)
    this.name = 'WarehouseUnreadable'
  }
}

const pauseMs = 100

/**
 * Opens the database file, waiting while another process holds it.
 * @throws WarehouseBusy after `waitMs`; WarehouseUnreadable when the file is damaged or foreign.
 */
export async function openInstance(path: string, waitMs: number): Promise<DuckDBInstance> {
  const until = Date.now() + waitMs
  for (;;) {
    try {
      return new DuckDBInstance(await opened(path))
    } catch (error) {
      const text = error instanceof Error ? error.message : String(error)
      if (!/lock/i.test(text)) throw new WarehouseUnreadable(path, text.split('\n')[0] ?? text)
      if (Date.now() >= until) throw new WarehouseBusy(path)
      await new Promise((resolve) => setTimeout(resolve, pauseMs))
    }
  }
}

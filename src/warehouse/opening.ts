import duckdb, { type Database } from '@duckdb/node-bindings'

/** Rows of a bulk write go to the file as soon as a row group is full: waiting for more only costs fresh memory. */
const settings = { write_buffer_row_group_count: '1' }

/** Files that began to open before anybody asked for them. */
const begun = new Map<string, Promise<Database>>()

/**
 * Begins to open a database file in a thread of its own, while the caller loads the rest of its code. The next `opened`
 * of the same file takes it, with whatever went wrong.
 * @returns what closes the file again where nobody took it.
 */
export function beginOpening(path: string): () => Promise<void> {
  const opening = open(path)
  opening.catch(() => undefined)
  begun.set(path, opening)
  return async () => {
    if (begun.get(path) !== opening) return
    begun.delete(path)
    await opening.then(duckdb.close_sync, () => undefined)
  }
}

/** The database of a file, or what has begun to become it. @throws the library's error. */
export function opened(path: string): Promise<Database> {
  const opening = begun.get(path)
  begun.delete(path)
  return opening ?? open(path)
}

function open(path: string): Promise<Database> {
  const config = duckdb.create_config()
  for (const [name, value] of Object.entries(settings)) duckdb.set_config(config, name, value)
  return duckdb.open(path, config)
}

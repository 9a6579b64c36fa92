import type { MacroText, TableName, Warehouse } from '../warehouse/index.ts'
import { nearest } from './nearest.ts'
import { QueryProblem } from './problem.ts'

/** What one SELECT reads: tables and views by name, and the macros it goes through. */
export type Reads = { tables: TableName[]; macros: MacroText[] }

type Parsed = { error: boolean; error_type?: string; error_message?: string; statements?: unknown[] }

/**
 * Looks at a statement without running it, by the database's own parser.
 * @throws QueryProblem `refused` unless it is exactly one SELECT.
 */
export async function readsOf(warehouse: Warehouse, name: string, sql: string): Promise<Reads> {
  const parsed = await parse(warehouse, sql)
  if (parsed.error) {
    const reason =
      parsed.error_type === 'not implemented'
        ? 'only a SELECT may be asked'
        : `it cannot be read: ${firstLine(parsed.error_message)}`
    throw new QueryProblem('refused', `${name}: ${reason}`)
  }
  if (parsed.statements?.length !== 1) {
    throw new QueryProblem(
      'refused',
      `${name}: it has ${parsed.statements?.length ?? 0} statements; write one SELECT`,
    )
  }
  return closure(warehouse, name, parsed)
}

async function parse(warehouse: Warehouse, sql: string): Promise<Parsed> {
  const text = await warehouse.value<string>('SELECT json_serialize_sql($sql::VARCHAR)::VARCHAR', { sql })
  return JSON.parse(text ?? '{"error":true}') as Parsed
}

/** Follows macros into the tables that they read in turn. */
async function closure(warehouse: Warehouse, name: string, parsed: Parsed): Promise<Reads> {
  const known = await knownNames(warehouse)
  const tables = new Map<string, TableName>()
  const macros = new Map<string, MacroText>()
  const open: unknown[] = [parsed]
  while (open.length > 0) {
    const named = namesIn(open.pop())
    for (const table of named.tables) {
      const found = known.tables.get(keyOf(table))
      if (found) tables.set(keyOf(found), found)
      // A name without a schema may be a common table expression; the database tells when it is not.
      else if (table.schema !== '') throw noTable(name, table, known)
    }
    for (const call of named.functions) {
      const macro = known.macros.get(keyOf(call))
      if (!macro || macros.has(keyOf(macro))) continue
      macros.set(keyOf(macro), macro)
      open.push(await parse(warehouse, macro.isTable ? macro.definition : `SELECT ${macro.definition}`))
    }
  }
  // The innermost first, so that each finds what it is made of.
  return { tables: [...tables.values()], macros: [...macros.values()].reverse() }
}

type Known = { tables: Map<string, TableName>; macros: Map<string, MacroText> }

async function knownNames(warehouse: Warehouse): Promise<Known> {
  const tables = await warehouse.rows<TableName>(
    `SELECT table_schema AS schema, table_name AS name FROM information_schema.tables
     WHERE table_catalog = current_database()`,
  )
  const macros = await warehouse.rows<MacroText>(
    `SELECT schema_name AS schema, function_name AS name, parameters, function_type = 'table_macro' AS "isTable",
            macro_definition AS definition
     FROM duckdb_functions() WHERE database_name = current_database() AND macro_definition IS NOT NULL AND NOT internal`,
  )
  return {
    tables: new Map(tables.map((table) => [keyOf(table), table])),
    macros: new Map(macros.map((macro) => [keyOf(macro), macro])),
  }
}

function noTable(name: string, table: TableName, known: Known): QueryProblem {
  const near = nearest(keyOf(table), known.tables.keys())
  const hint = near ? `; did you mean ${near}?` : ''
  return new QueryProblem('failed', `${name}: there is no table ${keyOf(table)}${hint}`, near)
}

function keyOf(name: TableName): string {
  return `${name.schema || 'main'}.${name.name}`.toLowerCase()
}

function namesIn(node: unknown): { tables: TableName[]; functions: TableName[] } {
  const tables: TableName[] = []
  const functions: TableName[] = []
  const visit = (part: unknown): void => {
    if (Array.isArray(part)) part.forEach(visit)
    else if (part !== null && typeof part === 'object') {
      const fields = part as Record<string, unknown>
      if (typeof fields.table_name === 'string') {
        tables.push({ schema: String(fields.schema_name ?? ''), name: fields.table_name })
      }
      if (typeof fields.function_name === 'string') {
        functions.push({ schema: String(fields.schema ?? ''), name: fields.function_name })
      }
      Object.values(fields).forEach(visit)
    }
  }
  visit(node)
  return { tables, functions }
}

function firstLine(text: string | undefined): string {
  return (text ?? 'unknown reason').split('\n')[0]!.replace(/^(Parser|Binder|Catalog) Error:\s*/i, '')
}

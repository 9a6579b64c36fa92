import { sqlTypes } from '../kinds/index.ts'
import { isBlank, readPosition } from '../values/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { type ReadContext, readColumn } from './column-reader.ts'
import { ignoreSql, mapTable, needsMap, type Plan, whereSql } from './plan.ts'
import { isWeightSql, mappableTypes, mappedValueSql } from './value-sql.ts'

/** Rows from which it pays to look how many different texts a column holds. */
const manyRows = 20_000

/**
 * The plan with the bulk columns marked that hold few different texts, each read once into its map. For small files
 * the row-by-row statement is as quick.
 */
export async function mapFewTexts(warehouse: Warehouse, plan: Plan, rows: string): Promise<Plan> {
  const places = plan.columns.flatMap((one, index) =>
    one.text && mappableTypes.has(one.column.type) ? [index] : [],
  )
  if (places.length === 0) return plan
  const counted = places.map(
    (index) => `approx_count_distinct(${plan.columns[index]!.text})::DOUBLE AS n${index}`,
  )
  const [row] = await warehouse.rows<Record<string, number>>(
    `SELECT count(*)::DOUBLE AS n, ${counted.join(', ')} ${fromRows(plan, rows)}`,
  )
  if (!row || row.n! < manyRows) return plan
  const few = places.filter((index) => row[`n${index}`]! * 10 < row.n!)
  for (const index of few) {
    const one = plan.columns[index]!
    await warehouse.run(`
      CREATE OR REPLACE TEMP TABLE intake_map_${index} AS
      SELECT coalesce(text, '') AS text, ${mappedValueSql(plan, one)} AS value, NULL::VARCHAR AS flag, val.tidy(text) IS NOT NULL AS has_text,
        ${isWeightSql(plan, one)} AS is_weight
      FROM (SELECT DISTINCT ${one.text} AS text ${fromRows(plan, rows)}) WHERE text IS DISTINCT FROM ''`)
  }
  return { ...plan, fewTexts: new Set(few) }
}

/**
 * Reads what SQL does badly once per distinct text: names, words, fractions, doors, grid positions. Each column gets a
 * temporary table (text, value, flag, has_text) that the typing statement joins; `text` is '' for a blank cell.
 */
export async function readDistinct(
  warehouse: Warehouse,
  plan: Plan,
  rows: string,
  context: ReadContext,
): Promise<void> {
  const places = plan.columns.flatMap((one, index) => (one.text && needsMap(one.column) ? [index] : []))
  const texts = await distinctTexts(warehouse, plan, rows, places)
  for (const index of places) await readOne(warehouse, plan, index, texts.get(index) ?? [], context)
  await readGrid(warehouse, plan, rows)
  await readBases(warehouse, plan, rows, context)
}

/** The different texts of columns by their places, a blank cell as ''; of all columns in one statement. */
async function distinctTexts(
  warehouse: Warehouse,
  plan: Plan,
  rows: string,
  places: readonly number[],
): Promise<Map<number, string[]>> {
  const found = new Map<number, string[]>(places.map((index) => [index, []]))
  if (places.length === 0) return found
  const each = places.map(
    (index) =>
      `SELECT DISTINCT ${index} AS place, coalesce(${plan.columns[index]!.text}, '') AS text ${fromRows(plan, rows)}`,
  )
  const columns = await warehouse.columns(each.join(' UNION ALL '))
  const text = columns.text('text')
  columns.numbers('place').forEach((index, row) => {
    found.get(index)!.push(text[row]!)
  })
  return found
}

function fromRows(plan: Plan, rows: string): string {
  return `FROM raw.layout_${plan.layoutNo} WHERE problem IS NULL AND ${rows} AND ${whereSql(plan.record.where, plan.header)} AND NOT (${ignoreSql(plan)})`
}

async function readOne(
  warehouse: Warehouse,
  plan: Plan,
  index: number,
  texts: readonly string[],
  context: ReadContext,
): Promise<void> {
  const one = plan.columns[index]!
  const table = mapTable(index)
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE intake_map_${index}(text VARCHAR, value ${sqlTypes[one.column.type]}, flag VARCHAR, has_text BOOLEAN)`,
  )
  const words = new Map(
    Object.entries(one.field?.values ?? {}).map(([from, to]) => [from.trim().toLowerCase(), to]),
  )
  const read = texts.map((text) => {
    const plain = isBlank(text) ? '' : text
    const meant = words.get(plain.trim().toLowerCase()) ?? plain
    if (isBlank(meant)) return { value: null, flag: null, hasText: false }
    const found = readColumn(one.column, one.field, meant, context)
    return {
      value: found.ok ? found.value.value : null,
      flag: found.ok ? found.value.flag : null,
      hasText: true,
    }
  })
  await warehouse.append(table, {
    text: texts,
    value: read.map((entry) => entry.value),
    flag: read.map((entry) => entry.flag),
    has_text: read.map((entry) => entry.hasText),
  })
}

/** Positions in grid notations (MGRS, UTM), and any other pair that the SQL reader leaves. */
async function readGrid(warehouse: Warehouse, plan: Plan, rows: string): Promise<void> {
  const pair = plan.columns.find((one) => one.isPair && one.text)
  if (!pair) return
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE intake_grid(text VARCHAR, latitude DOUBLE, longitude DOUBLE)',
  )
  const left = `SELECT DISTINCT t AS text FROM (SELECT ${pair.text} AS t ${fromRows(plan, rows)}) WHERE val.tidy(t) IS NOT NULL AND val.pair_lat(t) IS NULL`
  const texts = (await warehouse.columns(left)).text('text')
  const found = texts.flatMap((text) => {
    const read = readPosition(text!)
    return read.ok ? [{ text, ...read.value }] : []
  })
  await warehouse.append('temp.intake_grid', {
    text: found.map((one) => one.text),
    latitude: found.map((one) => one.latitude),
    longitude: found.map((one) => one.longitude),
  })
}

/** Base texts of the rows with the base and zone they mean. */
async function readBases(
  warehouse: Warehouse,
  plan: Plan,
  rows: string,
  context: ReadContext,
): Promise<void> {
  const base = plan.columns.find((one) => one.column.name === 'base')
  if (!base) return
  await warehouse.run('CREATE OR REPLACE TEMP TABLE intake_base(text VARCHAR, value VARCHAR, zone VARCHAR)')
  if (!base.text) return
  const texts = (
    await warehouse.columns(
      `SELECT DISTINCT val.tidy(${base.text}) AS text ${fromRows(plan, rows)} AND val.tidy(${base.text}) IS NOT NULL`,
    )
  ).text('text')
  const targets = texts.map((text) => context.books.base.resolve(text!).target)
  const zones = new Map(
    (
      await warehouse.rows<{ code: string; zone: string }>(
        "SELECT code, zone FROM obs.base WHERE fate = 'accepted'",
      )
    ).map((row) => [row.code, row.zone]),
  )
  await warehouse.append('temp.intake_base', {
    text: texts,
    value: targets,
    zone: targets.map((target) => (target === null ? null : (zones.get(target) ?? null))),
  })
}

import type { Warehouse } from '../warehouse/index.ts'

/** Each kind with the condition that its findings in scope fulfil: those are told again. */
const kinds: Readonly<Record<string, string>> = {
  'drift-alarm': 'true',
  'trace-without-drop': 'is_told_aircraft(aircraft)',
  'trace-volume': 'is_told_tank(tank)',
  'door-partly': 'is_told_tank(tank)',
  'door-late': 'is_told_tank(tank)',
  'slow-emergency': 'is_told_tank(tank)',
  // The subject is aircraft, span and rule, one after another.
  'below-safe-height': `is_told_aircraft(aircraft) AND is_told_span(split_part(subject, ' ', -1),
    subject[length(aircraft) + 2:length(subject) - length(split_part(subject, ' ', -1)) - 1])`,
  'assessment-without-drop': 'is_told_aircraft(aircraft) AND happened_at >= told_from()',
}

/** What there must be of the aircraft for there to be any, in the words of a condition. */
const occasions: Readonly<Record<string, string>> = {
  'below-safe-height':
    'EXISTS (FROM ledger."drop" WHERE height_ft IS NOT NULL AND is_told_aircraft(aircraft))',
  'assessment-without-drop':
    'EXISTS (FROM obs.assessment WHERE assessed_at >= told_from() AND is_told_aircraft(aircraft))',
  'drift-alarm': 'EXISTS (FROM effectiveness.drift_alarm)',
}

const ofTraces = new Set(['trace-without-drop', 'trace-volume', 'door-partly', 'door-late', 'slow-emergency'])

/** Writes `effectiveness.finding` for the scope; a finding's id follows from its kind and subject alone. */
export async function writeFindings(
  warehouse: Warehouse,
  scope: { isAll: boolean; hasTraces: boolean },
): Promise<void> {
  const told = Object.entries(kinds).filter(([name]) => scope.hasTraces || !ofTraces.has(name))
  const old = told.map(([name, isTold]) => `finding = '${name}' AND (${isTold})`)
  await warehouse.run(`DELETE FROM effectiveness.finding ${scope.isAll ? '' : `WHERE ${old.join(' OR ')}`}`)
  const absent = scope.isAll ? [] : await withoutOccasion(warehouse)
  for (const [name] of told) {
    if (absent.includes(name)) continue
    const select = await warehouse.readStage(`effectiveness/findings/${name}`)
    await warehouse.run(
      `INSERT INTO effectiveness.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, finding, severity, subject,
         happened_at, message, evidence, aircraft, tank FROM (${select})`,
    )
  }
}

/** The kinds of which there can be none: asking for them in vain costs more than to look. */
async function withoutOccasion(warehouse: Warehouse): Promise<string[]> {
  const asked = Object.entries(occasions).map(([name, condition]) => `${condition} AS "${name}"`)
  const [found] = await warehouse.rows<Record<string, boolean>>(`SELECT ${asked.join(', ')}`)
  return Object.keys(occasions).filter((name) => found![name] === false)
}

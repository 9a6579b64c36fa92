/** Canonical tables as they leave the house, by the name of their file. Each has a `season` column or none. */
export const canonicalTables: Readonly<Record<string, string>> = {
  drops: 'SELECT * FROM answers."drop" ORDER BY dropped_at, "drop"',
  loads: 'SELECT * FROM answers.load ORDER BY loaded_at, load',
  flights: 'SELECT * FROM answers.flight ORDER BY off_at, flight',
  offloads: 'SELECT * FROM answers.offload ORDER BY offloaded_at, offload',
  cycles: 'SELECT * FROM account.cycle ORDER BY tank, opened_at, load',
}

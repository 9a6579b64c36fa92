/** Every verb with what it does in a line; help and completion need no more. */
export const verbNames = {
  ingest: 'take files or folders of logs into the warehouse',
  watch: 'take whatever appears or grows in a folder',
  query: 'run a named question, or list them',
  serve: 'dashboards and API on this machine',
  report: 'a printable report: season, maintenance, contract, statement, work-list, conversion',
  due: 'what inspections fall due, and when',
  reconcile: 'invoices held against what was delivered',
  findings: 'what a person must look at',
  evidence: 'everything behind one record, down to file and line',
  amend: 'record a correction, with reason and name',
  alias: 'record another name for an aircraft, tank, base or fire',
  profile: 'draft a profile for an unknown file; show the columns of a record kind',
  verify: 'rebuild from raw rows and compare',
  close: 'freeze a season, or re-open it with a reason',
  export: 'canonical tables as Parquet, CSV or GeoJSON',
  setting: 'show or set the home zone and other settings',
  completion: 'shell completion for bash, zsh or fish',
} as const

export type VerbName = keyof typeof verbNames

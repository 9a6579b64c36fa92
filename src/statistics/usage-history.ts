/** The daily use of several like units. */
export interface UsageHistory {
  units: number
  days: number
  /** Day number (days since 1970-01-01) of the first column. */
  firstDay: number
  /** units × days, row-major: use per day ≥ 0; NaN where the unit was not watched. */
  counts: Float64Array
}

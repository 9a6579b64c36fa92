/** What happened; times are seconds since 1970, `day` the operating day. */
export interface Load {
  id: string
  at: number
  started: number
  aircraft: string
  tank: string
  base: string
  gal: number
  fluid: string
  ticket: string
  target: number
  overflow: boolean
  before: number
  after: number
  day: string
}
export interface Drop {
  id: string
  at: number
  aircraft: string
  tank: string
  base: string
  fire: string | null
  stated: boolean
  basis: 'stated' | 'nearest' | 'unattributed'
  flight: string | null
  load: string | null
  gal: number
  commanded: number | null
  coverage: number | null
  fraction: string
  fluid: string
  purpose: string
  doors: number[] | null
  openings: number
  latitude: number
  longitude: number
  height: number
  speed: number
  duration: number
  day: string
}
export interface Flight {
  id: string
  off: number
  on: number
  aircraft: string
  tank: string | null
  from: string
  to: string
  day: string
}
export interface Offload {
  at: number
  aircraft: string
  tank: string
  base: string
  gal: number
  fluid: string
  day: string
}
export interface Assessment {
  at: number
  aircraft: string
  drop: string
  objective: string
  fuel: string
  met: string
  effective: string
  line: number | null
}
export interface Season {
  loads: Load[]
  drops: Drop[]
  flights: Flight[]
  offloads: Offload[]
  assessments: Assessment[]
}

/** What a registry row holds; times are seconds since 1970. */
export interface Base {
  code: string
  name: string
  zone: string
  latitude: number
  longitude: number
  aliases: string
}
export interface Aircraft {
  registration: string
  call_number: string
  class: string
  max_load_gal: number
  max_speed_kt: number
  cruise_kt: number
  hasController: boolean
  home: string
}
export interface Tank {
  serial: string
  capacity_gal: number
  doors: number
  door_use: string
}
export interface Mounting {
  tank: string
  aircraft: string
  on_at: number
  off_at: number | null
}
export interface Component {
  serial: string
  kind: string
}
export interface Fitting {
  component: string
  tank: string
  position: string
  on_at: number
  off_at: number | null
}
export interface Baseline {
  item: string
  counter: string
  value: number
  counted_at: number
}
export interface Fire {
  number: string
  name: string
  latitude: number
  longitude: number
  started_at: number
  ended_at: number
  radius_nm: number | null
  aliases: string
}

/** Seconds since 1970 of an ISO 8601 time. */
export const utc = (text: string): number => Date.parse(text) / 1000

import type { Units } from '../../dashboards/address.ts'

/** Units and clock that a report speaks in. */
export type Look = { units: Units; zone: string }

export const plainLook: Look = { units: 'us', zone: 'UTC' }

/** In words, for the imprint. */
export function lookText({ units, zone }: Look): string {
  return `${units === 'us' ? 'US gallons, feet, hours' : 'litres, metres, hours'}; times ${zone === 'UTC' ? 'UTC' : `of ${zone}`}`
}

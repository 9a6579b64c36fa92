import type { Scribe } from './scribes.ts'

/** Who writes in an ordinary season: a gauge, a crew, a tracker, a base and a flight log. */
export const controller: Scribe = {
  source: 'controller:c',
  witness: 'controller',
  kinds: ['drop', 'load'],
  noise: 0.01,
  saysPurpose: true,
}

export const crew: Scribe = {
  source: 'crew:d',
  witness: 'crew',
  kinds: ['drop'],
  stepMin: 5,
  volume: 'rounded',
  stepGal: 50,
  saysFire: true,
  saysFraction: true,
  saysPurpose: true,
  sloppy: 0.15,
  scatter: 40,
}

export const tracker: Scribe = {
  source: 'tracker:t',
  witness: 'tracker',
  kinds: ['drop', 'flight'],
  volume: 'unsaid',
  saysPlace: true,
  scatter: 8,
}

export const ticket: Scribe = {
  source: 'ticket:k',
  witness: 'ticket',
  kinds: ['load', 'offload'],
  stepMin: 1,
  noise: 0.015,
  scatter: 90,
}

export const flightLog: Scribe = {
  source: 'crew:f',
  witness: 'crew',
  kinds: ['flight'],
  stepMin: 1,
  scatter: 60,
}

export const ordinary: readonly Scribe[] = [controller, crew, tracker, ticket, flightLog]

/** The same scribes, one of them with other habits. */
export function but(scribes: readonly Scribe[], source: string, habits: Partial<Scribe>): Scribe[] {
  return scribes.map((scribe) => (scribe.source === source ? { ...scribe, ...habits } : scribe))
}

/** A messy season: one clock an hour off, one that gains four minutes over the day, times rounded, volumes to 50 gal, sloppy names. */
export function messy(stepMin: number, misses = 0.04): Scribe[] {
  return [
    { ...controller, late: () => 60, misses },
    { ...crew, stepMin, gains: 4, misses },
    { ...tracker, misses },
    { ...ticket, misses },
    { ...flightLog, stepMin, misses },
  ]
}

import { purposes } from '../kinds/index.ts'
import type { EventColumns } from './event-columns.ts'
import { type Manner, strangers } from './manner.ts'
import { DROP, FLIGHT, type Observations } from './observations.ts'

/** What agreement in time alone is worth, and the most that all other fields can add to it. */
export const worth = 8
const mostAgreement = 3.7
/** Two gauges that agree differ by so much, gal. */
const leastGal = 5

export const reachSeconds = 45 * 60
export const flightReachSeconds = 3 * 3600

const jettison = purposes.indexOf('jettison')
const emergency = purposes.indexOf('emergency')
const groundTest = purposes.indexOf('ground-test')

/** Penalty for so many minutes apart when both clocks are rounded: none inside the rounding, then like a Student t. */
export function apartPenalty(apartMin: number, halfMin: number, slackMin: number, tail: number): number {
  const excess = Math.max(0, apartMin - halfMin) / slackMin
  return (
    (excess === 0 ? 0 : tail * Math.log1p((excess * excess) / (2 * tail - 1))) +
    Math.min(0.5, 0.05 * apartMin)
  )
}

/** Agreement (to +1) or not (to -5) of two volumes, gal, that scatter by a share and are rounded to within `halfGal`; 0 where one is unknown. */
export function volumeScore(one: number, other: number, halfGal: number, share: number): number {
  if (Number.isNaN(one) || Number.isNaN(other)) return 0
  const excess = Math.abs(one - other) - halfGal
  if (excess <= 0) return 1
  const apart = excess / (share * Math.max(one, other) + leastGal)
  return 1 - Math.min(6, 1.2 * Math.log1p(apart * apart))
}

/**
 * How much better "one event told twice" explains two tellings than "two events, each told once", in the manner of a
 * log-likelihood ratio: above 0 they may be one. The parts are heavy-tailed, so that one wrong field alone does not
 * part what time and order put together.
 * @param time start by the common clock, s @param end end likewise @param half half the clock's rounding step, s
 * @param volume gal, as the source says or implies it @param halfGal half its rounding step, gal @param manner how it writes
 */
export function pairScore(
  o: Observations,
  index: number,
  time: number,
  end: number,
  half: number,
  profile: EventColumns,
  event: number,
  volume = o.volume[index]!,
  halfGal = 15,
  manner: Manner = strangers[o.kind[index]!]!,
): number {
  const kind = o.kind[index]!
  const halfMin = (half + profile.half[event]!) / 60
  const apartMin = Math.abs(time - profile.time[event]!) / 60
  const { slackMin, tail } = manner
  let score = worth - apartPenalty(apartMin, halfMin, slackMin, tail)
  if (kind === FLIGHT) {
    const endApart = Math.abs(end - profile.end[event]!) / 60
    const shared = Math.min(end, profile.end[event]!) - Math.max(time, profile.time[event]!)
    const whole = Math.max(end, profile.end[event]!) - Math.min(time, profile.time[event]!)
    if (shared <= 0 && apartMin > halfMin) return -1
    return score - apartPenalty(endApart, halfMin, slackMin, tail) + 4 * (whole > 0 ? shared / whole : 1)
  }
  if (score < -mostAgreement) return -1
  score += volumeScore(volume, profile.volume[event]!, halfGal + profile.halfGal[event]!, manner.share)
  if (kind !== DROP) return score
  return (
    score +
    fractionScore(o.fraction[index]!, profile.fraction[event]!) +
    fireScore(o.fire[index]!, profile.fire[event]!) +
    purposeScore(o.purpose[index]!, profile.purpose[event]!) +
    positionScore(
      o.latitude[index]!,
      o.longitude[index]!,
      profile.latitude[event]!,
      profile.longitude[event]!,
    )
  )
}

function fractionScore(one: number, other: number): number {
  if (Number.isNaN(one) || Number.isNaN(other)) return 0
  return Math.abs(one - other) < 0.04 ? 0.5 : -1.5
}

export function fireScore(one: number, other: number): number {
  if (Number.isNaN(one) || Number.isNaN(other)) return 0
  return one === other ? 0.7 : -0.7
}

export function purposeScore(one: number, other: number): number {
  if (Number.isNaN(one) || Number.isNaN(other) || one === other) return 0
  if (one + other === jettison + emergency && one !== other) return -0.3
  if (one === groundTest || other === groundTest) return -4
  return one === jettison || other === jettison || one === emergency || other === emergency ? -2 : -0.3
}

/** Two witnesses of one drop place it within a mile or so of each other; two splits of a load may lie further apart. */
function positionScore(lat1: number, lon1: number, lat2: number, lon2: number): number {
  if (Number.isNaN(lat1) || Number.isNaN(lat2)) return 0
  const apartNm = nauticalMiles(lat1, lon1, lat2, lon2)
  return Number.isNaN(apartNm) ? 0 : Math.max(-3, 1.5 - 1.5 * Math.log1p(apartNm * apartNm))
}

/** Distance on the sphere in the plane of the mean latitude: exact enough below 50 NM, NaN where a place is unknown. */
export function nauticalMiles(lat1: number, lon1: number, lat2: number, lon2: number): number {
  const east = (lon2 - lon1) * Math.cos(((lat1 + lat2) / 2) * (Math.PI / 180))
  return 60 * Math.sqrt((lat2 - lat1) ** 2 + east * east)
}

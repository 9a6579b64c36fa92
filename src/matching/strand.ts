import { type Alignment, align } from './alignment.ts'
import { type Drift, driftAt, fitDrift, noDrift } from './clock-drift.ts'
import { Lines, type Strand } from './lines.ts'
import { partLone } from './lone.ts'
import { type Manner, mannerOf, type Pairs, strangers } from './manner.ts'
import { DROP, FLIGHT } from './observations.ts'
import type { Profile } from './profile.ts'
import { volumeStep } from './rounding.ts'
import type { Scene } from './scene.ts'
import { fillTies, settleTies } from './ties.ts'

const [second, minute] = [1, 60]
/** Drifts tried beside the one that the pairs show, where rounding hides them: seconds gained per second. */
const hiddenDrifts = [-4, -2, 2, 4].map((minutes) => (minutes * minute) / (9 * 3600))
const leastForHidden = 9
/** A drift that nothing else shows has to earn so much. */
const hiddenCost = 1

/** Half the rounding step of the volumes of some lines, gal. */
export function halfGalOf(scene: Scene, indices: readonly number[]): number {
  return volumeStep(indices.map((index) => scene.o.volume[index]!)) / 2
}

/** The strand's place among the events told so far. */
export function placeStrand(scene: Scene, profile: Profile, strand: Strand, halfGal: number): Alignment {
  const lines = new Lines(scene, profile, strand, halfGal)
  const { found, drift } = placeLines(lines)
  if (scene.kind === DROP) partLone(lines, found, drift)
  return found
}

interface Placed {
  readonly found: Alignment
  readonly drift: Drift
}

/**
 * Lines aligned once as a stranger's, then by what the pairs tell of their clock and their manner; where a clock to
 * minutes hides how it drifts, by the drift that makes most of it.
 */
function placeLines(lines: Lines): Placed {
  const stranger = strangers[lines.kind]!
  const first = alignLines(lines, noDrift, stranger)
  const { drift, manner } = learn(lines, first)
  if (drift === noDrift && manner === stranger) return { found: first, drift }
  let best: Placed = { found: alignLines(lines, drift, manner), drift }
  if (lines.kind !== DROP || lines.half <= second || lines.rows < leastForHidden) return best
  const middle = drift === noDrift ? lines.written[lines.rows >> 1]! : drift.middle
  for (const more of hiddenDrifts) {
    const hidden = { middle, level: drift.level, slope: drift.slope + more }
    const other = alignLines(lines, hidden, manner)
    if (other.total > best.found.total + hiddenCost) best = { found: other, drift: hidden }
  }
  return best
}

function alignLines(lines: Lines, drift: Drift, manner: Manner): Alignment {
  lines.lay(drift, manner)
  const found = align(lines)
  const near = lines.half > second ? 2 * lines.half + minute * manner.slackMin : 0
  settleTies(lines, found, near)
  fillTies(lines, found, near)
  return found
}

/** What single lines that found an event tell of the clock and the manner of their source. */
function learn(lines: Lines, found: Alignment): { drift: Drift; manner: Manner } {
  const { kind, profile, halfGal } = lines
  const rows: number[] = []
  const at: number[] = []
  const residuals: number[] = []
  for (let row = 0; row < lines.rows; row++) {
    const event = found.column[row]!
    if (event < 0 || found.length[row] !== 1 || found.isPart[row]) continue
    rows.push(row)
    at.push(lines.written[row]!)
    residuals.push(lines.written[row]! - profile.time[event]!)
  }
  const drift = fitDrift(at, residuals, lines.half)
  if (kind === FLIGHT) return { drift, manner: strangers[kind]! }
  const pairs: Pairs = { apartMin: [], share: [] }
  for (let i = 0; i < rows.length; i++) {
    const event = found.column[rows[i]!]!
    const half = lines.halfOf(rows[i]!) + profile.half[event]!
    pairs.apartMin.push(Math.max(0, Math.abs(residuals[i]! - driftAt(drift, at[i]!)) - half) / minute)
    const [own, other] = [lines.volumes[rows[i]!]!, profile.volume[event]!]
    if (own > 0 && other > 0)
      pairs.share.push(
        Math.max(0, Math.abs(own - other) - halfGal - profile.halfGal[event]!) / Math.max(own, other),
      )
  }
  return { drift, manner: mannerOf(kind, pairs, lines.half > 1) }
}

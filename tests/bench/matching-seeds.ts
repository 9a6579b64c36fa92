import { but, messy } from '../matching/fleet/crews.ts'
import { type Figures, figuresOf } from '../matching/fleet/figures.ts'
import { operate } from '../matching/fleet/operations.ts'
import { write } from '../matching/fleet/scribes.ts'

/** How well drops are matched, fires named and openings counted over so many messy seasons that no simulator of ours made. */
export async function benchMatchingSeeds(seeds: number): Promise<void> {
  for (const stepMin of [1, 5, 15]) {
    const all: Figures[] = []
    for (let seed = 1; seed <= seeds; seed++) {
      const fleet = operate({ seed: 1000 + seed, aircraft: 5, days: 18 })
      const scribes = but(messy(stepMin, seed % 2 === 0 ? 0.03 : 0.05), 'crew:d', {
        stepMin,
        gains: 4,
        sums: 0.04,
      })
      all.push(await figuresOf(fleet, write(fleet, scribes, seed)))
    }
    const line = (name: 'f1' | 'attribution' | 'openings'): string => {
      const sorted = all.map((one) => one[name]).sort((a, b) => a - b)
      const mean = sorted.reduce((sum, value) => sum + value, 0) / sorted.length
      return `${name} mean ${mean.toFixed(4)}, least ${sorted[0]!.toFixed(4)}, median ${sorted[sorted.length >> 1]!.toFixed(4)}`
    }
    console.log(
      `matching-seeds: ${seeds} seasons, times to ${stepMin} min, 3 or 5 % missing, 4 % of loads summed`,
    )
    for (const name of ['f1', 'attribution', 'openings'] as const) console.log(`  ${line(name)}`)
  }
}

import type { Season } from './simulate.ts'
import { flowFor } from './tank-state.ts'

/** What the sample season tells, with the numbers that the simulator knows to be true. */
export function sampleReadme({ truth }: Season): string {
  const count = (items: readonly unknown[]): string => items.length.toLocaleString('en-US')
  const high = [...truth.meterBias].sort((a, b) => b.bias_pct - a.bias_pct)[0]!
  const tankOf = (serial: string) => truth.world.tanks.find((tank) => tank.serial === serial)!
  const drift = truth.drifts[0]!
  const asked = truth.drops
    .filter((drop) => drop.coverage_level !== null && tankOf(drop.tank).flow === 'gravity')
    .sort((a, b) => b.coverage_level! - a.coverage_level!)[0]!
  const flow = Math.round(flowFor(tankOf(asked.tank), null, 0))
  const reached = Math.round(
    (100 * flow) / flowFor({ ...tankOf(asked.tank), peak_flow_gal_s: 1e6 }, asked.coverage_level, 125),
  )
  const hidden = truth.unrecorded.find((drop) => drop.volume_gal > 0)!
  const emergencies = truth.drops.filter((drop) => drop.purpose === 'emergency')
  const kinds = truth.invoiceErrors.map((error) => error.kind)
  const times = (kind: string): number => kinds.filter((one) => one === kind).length
  const wrong = [...new Set(kinds)].map((kind) => `${times(kind)} × ${kind}`).join(', ')
  const clocks = truth.clockOffsets.filter((one) => Math.abs(one.offset_min) === 60)
  const hours = [...new Set(clocks.map((one) => `${one.witness} of ${one.aircraft}`))].join(', ')
  return `# Sample logs

An invented operator, Zephyr Basin Air Tankers, in an invented season: June to October 2026, six aircraft, ${truth.world.tanks.length}
tanks that move between them, three bases in two time zones. Nothing here is real: no operator, person, aircraft, base or fire.
\`npm run sample\` writes this folder anew, always with the same bytes.

\`season-2026/\` is the season as the trade would send it, a folder for each sender:

| folder | from | what |
|---|---|---|
| \`registry/\` | operator | aircraft, tanks, mountings, components, fittings, counts carried in, bases, fires |
| \`controller/\` | tank controllers | downloads of four weeks, overlapping by a day; two models: CSV in gallons, compressed JSON lines in litres; \`traces/\` of releases |
| \`crew/\` | crews | drop sheets in local time, sent twice, longer and partly corrected the second time; CSV for mountain crews, workbooks for pacific crews |
| \`tickets/\` | bases | loading tickets in gallons, in litres with decimal commas, and by weight |
| \`flight-logs/\`, \`tracker/\` | crews, tracker | flights by both, and points of three aircraft |
| \`maintenance/\` | maintenance | inspection programme, what was done, adjustments |
| \`contracts/\`, \`invoices/\` | contract staff | two contracts, their prices, availability, monthly invoices |
| \`assessments/\` | observers | what drops did, often unknown |
| \`profiles/\` | operator | how each sender's files are to be read |

What truly happened: ${count(truth.drops)} drops, ${count(truth.loads)} loads, ${count(truth.flights)} flights. And what there is to find:

- **A meter that reads high.** The meter at ${high.base} reads ${high.bias_pct.toFixed(1)} % more than the tanks took.
- **A tank that drifts.** ${drift.tank} releases ${Math.abs(drift.size_pct)} % less than the crew sets from ${drift.from_at?.slice(0, 10)} until its doors are adjusted on ${drift.adjusted_at?.slice(0, 10)}; release traces from before and after are at hand.
- **A tank asked for more than it can lay.** ${asked.tank} lets go at most ${flow} gal/s; set to coverage level ${asked.coverage_level}, it lays about ${reached} % of it.
- **A release that nobody wrote down.** ${hidden.aircraft}, ${hidden.day}, ${hidden.volume_gal.toLocaleString('en-US')} gal. The gauge before the next fill shows that it is gone.
- **Clocks an hour off.** ${hours}.
- **Invoices that are not right.** ${wrong}; one duplicate is spelled differently from its ticket.
- **Emergency releases.** ${emergencies.map((drop) => `${drop.aircraft} on ${drop.day}`).join(', ')}: the tank is to be inspected after each.
- **A load that ran over**, fires misspelt, aircraft written in five ways, and two rows of another operator's aircraft, which stay in quarantine.
- **Inspections that fall due** as the season ends: look at the maintenance page as of 15 October 2026.

\`troubles/\` has small folders, each named for the one thing that is wrong in it, with a README that says what gallonage should say.
Each stands alone: ingest one into a warehouse of its own.
`
}

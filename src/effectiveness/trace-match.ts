import type { Warehouse } from '../warehouse/index.ts'

interface Pair {
  trace: number
  drop: string
  /** Number of drops that have this aircraft and record. */
  candidates: number
  /** Difference of the volumes as a share of the drop's, and 0.02 for each day from the drop to the day in the file's name. */
  cost: number
}

/** Two drops of one number are told apart only by a difference as large as this. */
const margin = 0.03
const mostCost = 0.5

/**
 * Writes `effectiveness.trace_drop` for the aircraft in scope. A trace names its aircraft and the controller's record, but no day, and record numbers may begin anew each
 * day. Where one drop alone has that record, the trace is its. Among several, the volume decides, and the day in the name of the
 * trace's file where there is one (a download holds its own day and those before); where two fit about as well, the trace stays without
 * a drop rather than with a wrong one. Each drop has one trace at most. Arrival order plays no part.
 */
export async function matchTraces(warehouse: Warehouse): Promise<void> {
  const pairs = await warehouse.rows<Pair>(await warehouse.readStage('effectiveness/trace-pairs'))
  const best = new Map<number, [Pair, Pair | null]>()
  for (const pair of pairs) {
    const known = best.get(pair.trace)
    if (!known) best.set(pair.trace, [pair, null])
    else if (known[1] === null) known[1] = pair
  }
  const traceOf = new Map<string, Pair>()
  for (const [first, second] of best.values()) {
    const isAlone = first.candidates === 1
    if (!isAlone && (first.cost > mostCost || (second && second.cost - first.cost < margin))) continue
    const rival = traceOf.get(first.drop)
    if (!rival || first.cost < rival.cost) traceOf.set(first.drop, first)
  }
  const chosen = [...traceOf.values()].sort((a, b) => a.trace - b.trace)
  await warehouse.run(
    `DELETE FROM effectiveness.trace_drop WHERE trace NOT IN (SELECT trace FROM effectiveness.trace WHERE NOT is_told_aircraft(aircraft))`,
  )
  await warehouse.append('effectiveness.trace_drop', {
    trace: chosen.map((one) => one.trace),
    drop: chosen.map((one) => one.drop),
    matched_by: chosen.map((one) => (one.candidates === 1 ? 'record' : 'record and volume')),
  })
}

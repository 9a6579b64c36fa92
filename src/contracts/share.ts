/** Lines that claim the same evidence, one after another; all quantities in millionths, whole numbers. */
export interface Claims {
  /** Number of the group of each line; lines of one group stand together, in the order in which they claim. */
  group: Float64Array
  billed: Float64Array
  /** What the evidence of the group comes to, the same on each of its lines. */
  pool: Float64Array
  /** What the contract lets a group's lines differ from the evidence. */
  allowed: Float64Array
}

/** What each line gets of its group's evidence. */
export interface Shares {
  /** Where its share begins, counted from the first of the evidence. */
  from: Float64Array
  /** What the evidence leaves for it. */
  evidence: Float64Array
  /** The evidence was already billed by the lines before it. */
  isDuplicate: boolean[]
  /** What it bills stands as billed. */
  isWithin: boolean[]
}

/** Differences below this are not differences: the sixth decimal of a gallon is not on any meter. */
const slack = 500

/**
 * Shares the evidence of each group among its lines. One line has all of it. Several lines whose sum the evidence bears
 * share it in their order, and what nobody billed is left to the last. Where they bill more than there is, each has what
 * the ones before left; a line for which less than half is left bills again what was billed.
 */
export function shareEvidence(claims: Claims): Shares {
  const count = claims.group.length
  const shares: Shares = {
    from: new Float64Array(count),
    evidence: new Float64Array(count),
    isDuplicate: new Array<boolean>(count).fill(false),
    isWithin: new Array<boolean>(count).fill(false),
  }
  for (let start = 0; start < count; ) {
    let end = start + 1
    while (end < count && claims.group[end] === claims.group[start]) end++
    shareGroup(claims, start, end, shares)
    start = end
  }
  return shares
}

function shareGroup(claims: Claims, start: number, end: number, shares: Shares): void {
  const pool = claims.pool[start]!
  const allowed = claims.allowed[start]! + slack
  let total = 0
  for (let line = start; line < end; line++) total += claims.billed[line]!
  const isBorne = total <= pool + allowed
  let used = 0
  let last = start
  for (let line = start; line < end; line++) {
    const billed = claims.billed[line]!
    const left = Math.max(0, pool - used)
    shares.from[line] = used
    if (!isBorne && line > start && (left <= allowed || left < billed / 2)) {
      shares.isDuplicate[line] = true
      continue
    }
    shares.evidence[line] = isBorne ? billed : Math.min(billed, left)
    shares.isWithin[line] = isBorne || billed <= left + allowed
    used += shares.evidence[line]!
    last = line
  }
  const over = pool - used
  if (over <= allowed && end - start > 1) return
  shares.evidence[last] = shares.evidence[last]! + over
  shares.isWithin[last] = Math.abs(claims.billed[last]! - shares.evidence[last]!) <= allowed
}

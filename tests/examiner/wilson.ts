/** Wilson (1927) score interval at 95 %. */
export function wilson(yes: number, n: number): [number | null, number | null] {
  if (n === 0) return [null, null]
  const z = 1.959963984540054
  const p = yes / n
  const middle = (p + (z * z) / (2 * n)) / (1 + (z * z) / n)
  const half = (z / (1 + (z * z) / n)) * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n))
  return [middle - half, middle + half]
}

/** A number in [0, 1) that depends on its cell and the salt alone (the finalizer of MurmurHash3). */
export function chance(cell: number, salt: number): number {
  let h = (cell ^ salt) | 0
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return ((h ^ (h >>> 16)) >>> 0) / 4294967296
}

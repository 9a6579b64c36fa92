/** Money in whole cents, prices in millionths, quantities in thousandths: nothing is ever rounded twice. */
export const millionths = (price: string): bigint => {
  const [whole, part = ''] = price.split('.')
  return BigInt(whole!) * 1_000_000n + BigInt(part.padEnd(6, '0').slice(0, 6))
}

/** Unit price × quantity, half-up to cents. */
export function amountCents(price: string, quantity: number): bigint {
  const product = millionths(price) * BigInt(Math.round(quantity * 1000))
  const sign = product < 0n ? -1n : 1n
  return sign * ((sign * product + 5_000_000n) / 10_000_000n)
}

export function cents(amount: bigint): string {
  const size = amount < 0n ? -amount : amount
  return `${amount < 0n ? '-' : ''}${size / 100n}.${String(size % 100n).padStart(2, '0')}`
}

/** A price a few percent higher, as a slip in typing would make it. */
export function wrongPrice(price: string): string {
  const value = (millionths(price) * 107n) / 100n
  return `${value / 1_000_000n}.${String(value % 1_000_000n)
    .padStart(6, '0')
    .slice(0, 4)}`
}

/** Minutes into tenths or hundredths of an hour, half-up, without passing through a binary fraction. */
export const hoursHalfUp = (minutes: number, perHour: 10 | 100): number =>
  Math.floor((2 * minutes * perHour + 60) / 120) / perHour

/** A decimal number held exactly: an integer and the number of its decimal places. */
interface Exact {
  digits: bigint
  places: number
}

function exact(text: string): Exact {
  const match = /^([+-]?)([0-9]+)(?:\.([0-9]*))?$/.exec(text.trim())
  if (!match) throw new Error(`'${text}' is not a plain decimal number`)
  const fraction = match[3] ?? ''
  const digits = BigInt(match[2]! + fraction)
  return { digits: match[1] === '-' ? -digits : digits, places: fraction.length }
}

/** Integer division rounded half away from zero, so that a credit note cancels its line to the cent. */
function divideHalfUp(value: bigint, by: bigint): bigint {
  const size = value < 0n ? -value : value
  const rounded = (2n * size + by) / (2n * by)
  return value < 0n ? -rounded : rounded
}

/** Cents of a plain decimal text; more than two places are rounded half-up. Throws an Error for other text. */
export function cents(text: string): bigint {
  const { digits, places } = exact(text)
  return places <= 2 ? digits * 10n ** BigInt(2 - places) : divideHalfUp(digits, 10n ** BigInt(places - 2))
}

/** An amount of cents as text with two decimals: `-1234.50`. */
export function fromCents(amount: bigint): string {
  const size = (amount < 0n ? -amount : amount).toString().padStart(3, '0')
  return `${amount < 0n ? '-' : ''}${size.slice(0, -2)}.${size.slice(-2)}`
}

/** Unit price times quantity, exact, rounded once, half-up, to cents. */
export function mulRound(unitPrice: string, quantity: string): string {
  const [price, count] = [exact(unitPrice), exact(quantity)]
  const places = price.places + count.places
  const product = price.digits * count.digits
  return fromCents(
    places <= 2 ? product * 10n ** BigInt(2 - places) : divideHalfUp(product, 10n ** BigInt(places - 2)),
  )
}

/** Exact sum of amounts. */
export const sumMoney = (amounts: readonly string[]): string =>
  fromCents(amounts.reduce((total, amount) => total + cents(amount), 0n))

/** Exact difference of two amounts. */
export const subtractMoney = (a: string, b: string): string => fromCents(cents(a) - cents(b))

/** Order of two amounts: -1, 0 or 1. */
export function compareMoney(a: string, b: string): -1 | 0 | 1 {
  const difference = cents(a) - cents(b)
  return difference < 0n ? -1 : difference > 0n ? 1 : 0
}

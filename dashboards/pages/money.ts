/** Exact sum of decimal texts with at most two decimals; nulls are left out. `0.00` of nothing. */
export function addMoney(amounts: readonly (string | number | null)[]): string {
  let cents = 0n
  for (const amount of amounts) {
    if (amount === null) continue
    const [, sign, whole, part] =
      /^(-?)(\d+)(?:\.(\d{1,2}))?$/.exec(typeof amount === 'number' ? amount.toFixed(2) : amount) ?? []
    if (whole === undefined) continue
    const value = BigInt(whole) * 100n + BigInt((part ?? '').padEnd(2, '0'))
    cents += sign ? -value : value
  }
  const text = (cents < 0n ? -cents : cents).toString().padStart(3, '0')
  return `${cents < 0n ? '-' : ''}${text.slice(0, -2)}.${text.slice(-2)}`
}

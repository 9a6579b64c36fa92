import type { Claim } from './claims.ts'
import { type InvoiceLine, number, type Paperwork } from './contracts.ts'
import { amountCents, cents, wrongPrice } from './money.ts'
import type { InvoiceError, Settings } from './options.ts'
import type { Random } from './random.ts'

/** One wrong line and what should be found; amounts are texts with two decimals. */
export interface InvoiceErrorTruth {
  kind: InvoiceError
  /** Null for `unbilled`, which stands on no invoice. */
  invoice: string | null
  line: number | null
  contract: string
  item: string
  aircraft: string | null
  day: string
  billed_quantity: number
  supported_quantity: number
  billed_amount: string
  supported_amount: string
  difference_amount: string
}

const respelt = (ticket: string, random: Random): string => {
  const [letter, digits] = ticket.split('-')
  const short = String(Number(digits))
  return random.pick([
    `${letter}${short}`,
    `${letter!.toLowerCase()} ${short}`,
    `${letter}-${short}`,
    `${letter}00${digits}`,
  ])
}

/** Puts wrong lines into the right invoices, each on its own line, and says what each should give. */
export function spoilInvoices(
  papers: Paperwork,
  claims: readonly Claim[],
  settings: Settings,
  random: Random,
): InvoiceErrorTruth[] {
  const touched = new Set<InvoiceLine>()
  const marks: (() => InvoiceErrorTruth)[] = []
  const isGallons = (line: InvoiceLine): boolean => line.item.startsWith('gallon')
  const take = (fits: (line: InvoiceLine) => boolean): InvoiceLine | null => {
    const days = new Set([...touched].map((line) => `${line.aircraft} ${line.from_on}`))
    const free = papers.lines.filter(
      (line) => fits(line) && !touched.has(line) && !days.has(`${line.aircraft} ${line.from_on}`),
    )
    if (free.length === 0) return null
    const line = random.pick(free)
    touched.add(line)
    return line
  }
  const mark = (
    kind: InvoiceError,
    line: InvoiceLine,
    quantity: number,
    amount: bigint,
    listed = true,
  ): void => {
    marks.push(() => ({
      kind,
      invoice: listed ? line.invoice : null,
      line: listed ? line.line : null,
      contract: line.contract,
      item: line.item,
      aircraft: line.aircraft,
      day: line.from_on,
      billed_quantity: listed ? line.quantity : 0,
      supported_quantity: quantity,
      billed_amount: cents(listed ? line.amount : 0n),
      supported_amount: cents(amount),
      difference_amount: cents((listed ? line.amount : 0n) - amount),
    }))
  }
  const add = (line: InvoiceLine): InvoiceLine => {
    papers.lines.push(line)
    touched.add(line)
    return line
  }
  const big = (line: InvoiceLine): boolean => isGallons(line) && line.quantity > 300
  const spoil: Record<InvoiceError, () => void> = {
    arithmetic() {
      const line = take((one) => one.amount > 100_000n)
      if (!line) return
      const right = line.amount
      line.amount += BigInt(random.whole(10_000, 90_000))
      mark('arithmetic', line, line.quantity, right)
    },
    rate() {
      const line = take((one) => one.item !== 'fixed')
      if (!line) return
      const right = line.amount
      line.unit_price = wrongPrice(line.unit_price)
      line.amount = amountCents(line.unit_price, line.quantity)
      mark('rate', line, line.quantity, right)
    },
    'quantity-over'() {
      const line = take((one) => big(one) || one.item === 'flight-hour')
      if (!line) return
      const [quantity, right] = [line.quantity, line.amount]
      line.quantity = isGallons(line) ? Math.round(quantity * 1.12) : Math.round((quantity + 0.5) * 100) / 100
      line.amount = amountCents(line.unit_price, line.quantity)
      mark('quantity-over', line, quantity, right)
    },
    'quantity-under'() {
      const line = take(big)
      if (!line) return
      const [quantity, right] = [line.quantity, line.amount]
      line.quantity = Math.round(quantity * 0.88)
      line.amount = amountCents(line.unit_price, line.quantity)
      mark('quantity-under', line, quantity, right)
    },
    duplicate() {
      const line = take((one) => one.ticket !== null) ?? take((one) => one.item === 'flight-hour')
      if (!line) return
      const ticket = line.ticket && respelt(line.ticket, random)
      mark('duplicate', add({ ...line, ticket }), 0, 0n)
    },
    'no-evidence'() {
      const line = take((one) => one.ticket !== null)
      if (!line) return
      const ticket = `${line.ticket!.slice(0, 2)}9${String(random.whole(1000, 9998))}`
      mark('no-evidence', add({ ...line, ticket }), 0, 0n)
    },
    'outside-period'() {
      const contract = papers.contracts[0]!
      const late = claims.find(
        (claim) =>
          claim.witness === 'ticket' &&
          contract.aircraft.includes(claim.aircraft) &&
          claim.day > contract.ends_on &&
          ![...touched].some((line) => line.ticket === claim.values.ticket),
      )
      const model = papers.lines
        .filter((one) => one.ticket !== null && one.fluid === late?.values.fluid)
        .at(-1)
      if (!late || !model) return
      const quantity = late.values.volume_gal as number
      const amount = amountCents(model.unit_price, quantity)
      const ticket = late.values.ticket as string
      const { aircraft } = late
      mark('outside-period', add({ ...model, aircraft, ticket, from_on: late.day, quantity, amount }), 0, 0n)
    },
    'not-on-contract'() {
      const model = random.pick(papers.lines.filter((one) => one.contract === papers.contracts[0]!.number))
      const blank = { aircraft: null, ticket: null, fluid: null, to_on: null }
      const line = { ...model, ...blank, item: 'fixed', quantity: 1, unit_price: '2500.00', amount: 250_000n }
      mark('not-on-contract', add(line), 0, 0n)
    },
    unbilled() {
      const line = take((one) => isGallons(one) || one.item === 'flight-hour')
      if (!line) return
      papers.lines.splice(papers.lines.indexOf(line), 1)
      mark('unbilled', line, line.quantity, line.amount, false)
    },
  }
  for (const [kind, count] of Object.entries(settings.invoiceErrors) as [InvoiceError, number][])
    for (let index = 0; index < count; index++) spoil[kind]()
  number(papers.lines)
  return marks.map((make) => make())
}

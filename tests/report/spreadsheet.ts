import { inflateRawSync } from 'node:zlib'
import { Decimal } from 'decimal.js'

/** Files of a ZIP archive by name (APPNOTE 6.3.10, §4.3: local headers after the central directory's word). */
export function unzipped(bytes: Uint8Array): Map<string, string> {
  const archive = Buffer.from(bytes)
  const files = new Map<string, string>()
  const end = archive.lastIndexOf(Buffer.from('PK\u0005\u0006', 'latin1'))
  let at = archive.readUInt32LE(end + 16)
  for (let left = archive.readUInt16LE(end + 10); left > 0; left--) {
    const [method, size] = [archive.readUInt16LE(at + 10), archive.readUInt32LE(at + 20)]
    const [name, extra, comment] = [28, 30, 32].map((offset) => archive.readUInt16LE(at + offset)) as [
      number,
      number,
      number,
    ]
    const local = archive.readUInt32LE(at + 42)
    const start = local + 30 + archive.readUInt16LE(local + 26) + archive.readUInt16LE(local + 28)
    const packed = archive.subarray(start, start + size)
    files.set(
      archive.toString('utf8', at + 46, at + 46 + name),
      (method === 0 ? packed : inflateRawSync(packed)).toString('utf8'),
    )
    at += 46 + name + extra + comment
  }
  return files
}

/** A worksheet that computes as a spreadsheet does: only the formulas that our workbooks have. */
export class Worksheet {
  readonly formulas = new Map<string, string>()
  readonly #values = new Map<string, string>()

  constructor(xml: string) {
    for (const [, attributes, body] of xml.matchAll(/<c ([^>]*)>(.*?)<\/c>/gs)) {
      const place = /r="([A-Z]+\d+)"/.exec(attributes!)![1]!
      const formula = /<f>(.*?)<\/f>/s.exec(body!)?.[1]
      const value = /<v>(.*?)<\/v>/s.exec(body!)?.[1]
      if (formula !== undefined) this.formulas.set(place, formula)
      else if (value !== undefined) this.#values.set(place, value)
    }
  }

  /** @throws Error for a formula of another form. */
  number(place: string): Decimal {
    const formula = this.formulas.get(place)
    if (formula === undefined) return new Decimal(this.#values.get(place) ?? 0)
    const is = (form: RegExp): string[] | null => form.exec(formula)?.slice(1) ?? null
    const product = is(/^ROUND\(([A-Z]+\d+)\*([A-Z]+\d+),2\)$/)
    if (product)
      return this.number(product[0]!)
        .times(this.number(product[1]!))
        .toDecimalPlaces(2, Decimal.ROUND_HALF_UP)
    const difference = is(/^([A-Z]+\d+)-([A-Z]+\d+)$/)
    if (difference) return this.number(difference[0]!).minus(this.number(difference[1]!))
    const above = is(/^MAX\((-?)([A-Z]+\d+),0\)$/)
    if (above) return Decimal.max(this.number(above[1]!).times(above[0] === '-' ? -1 : 1), 0)
    const sum = is(/^SUM\(([A-Z]+)(\d+):[A-Z]+(\d+)\)$/)
    if (!sum) throw new Error(`${place}: no such formula: ${formula}`)
    let total = new Decimal(0)
    for (let row = Number(sum[1]); row <= Number(sum[2]); row++)
      total = total.plus(this.number(`${sum[0]}${row}`))
    return total
  }
}

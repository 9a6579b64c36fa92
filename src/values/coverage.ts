import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'
import { litresPerGallon, metresPerFoot } from './units.ts'

export interface CoverageLevel {
  /** Gallons per 100 square feet. */
  level: number
  /** True for `>6`: the set level is at least this. */
  openEnded: boolean
}

/** A coverage level as set: `4`, `CL4`, `CL 4`, `4 gpc`, `>6`, `6+`. The plausible range is for the caller to judge. */
export function readCoverageLevel(text: string): Read<CoverageLevel> {
  const cell = tidy(text)?.toLowerCase()
  if (cell === undefined) return bad('blank')
  const match =
    /^(?:cl|coverage level|coverage|level)?[ .:-]?(>|≥|>=|over |above )? ?([0-9]{1,3}(?:[.,][0-9]+)?)(\+)? ?(?:gpc|gal\/100 ?ft2|gal\/100 ?sq ?ft)?$/.exec(
      cell,
    )
  if (!match) return bad('not a coverage level')
  const level = Number(match[2]!.replace(',', '.'))
  if (level > 999) return bad('not a coverage level')
  return good({ level, openEnded: match[1] !== undefined || match[3] !== undefined })
}

/** Litres per square metre (millimetres of depth) of one gallon per 100 square feet: exactly 9779/24000. */
export const gpcToLitresPerSquareMetre = (gpc: number): number => (gpc * 9779) / 24000
export const litresPerSquareMetreToGpc = (depth: number): number => (depth * 24000) / 9779

/** The same factor from its definition, for the check that both agree. */
export const gpcByDefinition = litresPerGallon / (100 * metresPerFoot ** 2)

/** Surveyor's chain of 66 international feet (NIST Handbook 44, Appendix C). */
export const feetPerChain = 66
export const feetToChains = (feet: number): number => feet / feetPerChain
export const chainsToFeet = (chains: number): number => chains * feetPerChain

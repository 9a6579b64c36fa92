import { fireNumberKey, nameScore, suggest } from '../values/index.ts'

export interface Fire {
  number: string
  season: string
  name: string | null
  aliases: readonly string[]
}

export interface FireFound {
  fire: Fire | null
  how: 'number' | 'name' | 'number-part' | 'likeness' | 'ambiguous' | 'unknown' | 'nothing'
  /** 0 to 1; 1 where the text is the number or the name itself. */
  score: number
  /** What it may mean, when it was not resolved. */
  suggestion: string | null
}

const leastSuggestion = 0.5

/** What people write who know of no fire, or not which: it names none, and nobody has to look for it. */
const nothing = new Set([
  '',
  'NONE',
  'NIL',
  'NO',
  'FIRE',
  'UNKNOWN',
  'UNK',
  'UNKN',
  'TBD',
  'TBA',
  'NOTKNOWN',
  'NOTSTATED',
])

/**
 * The fire that a written text names. Numbers hold within the season; names, aliases and parts of numbers only among
 * fires active on the day; a misspelt name only when it is clearly the best and its digits agree. A name that no active
 * fire is like, but one of the season has, suggests that one.
 */
export function fireNamed(text: string, ofSeason: readonly Fire[], active: readonly Fire[]): FireFound {
  const key = fireNumberKey(text)
  const isNumber = (fire: Fire): boolean => fireNumberKey(fire.number) === key
  const numbered = active.find(isNumber) ?? ofSeason.find(isNumber)
  if (numbered) return { fire: numbered, how: 'number', score: 1, suggestion: null }

  const spelling = nameKey(text)
  const named = active.filter((fire) => names(fire).some((name) => nameKey(name) === spelling))
  if (named.length > 0) return onlyOne(named, 'name', 1)

  if (nothing.has(spelling)) return { fire: null, how: 'nothing', score: 0, suggestion: null }

  const part = numberPart(text)
  const parts = part ? active.filter((fire) => isPart(part, numberPart(fire.number))) : []
  if (parts.length > 0) return onlyOne(parts, 'number-part', 0.95)

  const likely = likest(text, active)
  if (likely.fire !== null || likely.suggestion !== null) return likely
  const idle = ofSeason.find((fire) => names(fire).some((name) => nameKey(name) === spelling))
  return idle ? { ...likely, suggestion: `${label(idle)}, which was not active then` } : likely
}

function likest(text: string, active: readonly Fire[]): FireFound {
  const byLabel = new Map<string, Fire>()
  for (const fire of active) {
    const label = bestLabel(text, [...names(fire), fire.number])
    if (!byLabel.has(label)) byLabel.set(label, fire)
  }
  const found = suggest(text, [...byLabel.keys()])
  if (!found) return { fire: null, how: 'unknown', score: 0, suggestion: null }
  const fire = byLabel.get(found.best)!
  const isName = found.best !== fire.number && digits(found.best) === digits(text)
  if (found.clear && isName) return { fire, how: 'likeness', score: found.score, suggestion: null }
  const suggestion = found.score >= leastSuggestion ? label(fire) : null
  return { fire: null, how: 'unknown', score: found.score, suggestion }
}

function onlyOne(fires: readonly Fire[], how: FireFound['how'], score: number): FireFound {
  if (fires.length === 1) return { fire: fires[0]!, how, score, suggestion: null }
  return { fire: null, how: 'ambiguous', score, suggestion: fires.map(label).join(' or ') }
}

const names = (fire: Fire): string[] => (fire.name ? [fire.name, ...fire.aliases] : [...fire.aliases])
const label = (fire: Fire): string => (fire.name ? `${fire.number} ${fire.name}` : fire.number)
const digits = (text: string): string => text.replace(/\D+/g, '')

function bestLabel(text: string, labels: readonly string[]): string {
  let best = labels[0]!
  for (const other of labels) if (nameScore(text, other) > nameScore(text, best)) best = other
  return best
}

/** Key of a fire name: letters and digits, without the words that every fire may carry. */
function nameKey(text: string): string {
  const plain = text
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .toUpperCase()
  const words = plain.match(/[A-Z0-9]+/g) ?? []
  const own = words.filter((word) => word !== 'FIRE' && word !== 'INCIDENT' && word !== 'WILDFIRE')
  return (own.length > 0 ? own : words).join('')
}

interface NumberPart {
  letters: string
  tail: string
}

/** Letters and last run of digits (no leading zeros) of a number, or null for a text that is no number. */
function numberPart(text: string): NumberPart | null {
  const match = /^(.*?)0*(\d+)$/.exec(fireNumberKey(text))
  if (!match) return null
  return { letters: match[1]!.replace(/\d+$/, ''), tail: match[2]! }
}

/** A number without its prefix: the same last digits, and no letters that the whole number lacks at its end. */
const isPart = (part: NumberPart, whole: NumberPart | null): boolean =>
  whole !== null && whole.tail === part.tail && whole.letters.endsWith(part.letters)

import { callNumberKey, normalizeAircraft, registrationWithoutNation, suggest } from '../values/index.ts'

/** One thing on record and everything it is called. */
export interface Named {
  readonly target: string
  readonly aliases: readonly string[]
  readonly callNumber: string | null
}

export type Resolved =
  | { readonly target: string; readonly how: string }
  | { readonly target: null; readonly reason: string; readonly suggestion: string | null }

/**
 * Finds the thing that a written name means. Letter case, spaces and dashes do not matter; then aliases; then call
 * numbers with or without a leading T, TKR or Tanker; then a registration without its nationality letters. A name
 * that two things share at the same step resolves to neither.
 */
export class NameBook {
  readonly #what: string
  readonly #steps: readonly {
    readonly how: string
    readonly key: (text: string) => string | null
    readonly targets: Map<string, Set<string>>
  }[]
  readonly #names: readonly string[]
  readonly #known = new Map<string, Resolved>()
  readonly #targetOfName = new Map<string, string>()

  constructor(what: string, entries: readonly Named[], isAircraft = false) {
    this.#what = what
    const exact = table()
    const alias = table()
    const call = table()
    const bare = table()
    for (const entry of entries) {
      put(exact, normalizeAircraft(entry.target), entry.target)
      for (const name of entry.aliases) put(alias, normalizeAircraft(name), entry.target)
      if (entry.callNumber) put(call, callNumberKey(entry.callNumber), entry.target)
      if (isAircraft) put(bare, registrationWithoutNation(entry.target), entry.target)
      for (const name of [entry.target, ...entry.aliases]) this.#targetOfName.set(name, entry.target)
    }
    this.#names = [...this.#targetOfName.keys()]
    this.#steps = [
      { how: 'name', key: normalizeAircraft, targets: exact },
      { how: 'alias', key: normalizeAircraft, targets: alias },
      { how: 'call number', key: callNumberKey, targets: call },
      { how: 'without nationality letters', key: normalizeAircraft, targets: bare },
    ]
  }

  resolve(text: string): Resolved {
    let found = this.#known.get(text)
    if (!found) {
      found = this.#find(text)
      this.#known.set(text, found)
    }
    return found
  }

  #find(text: string): Resolved {
    for (const step of this.#steps) {
      const key = step.key(text)
      const targets = key ? step.targets.get(key) : undefined
      if (targets?.size === 1) return { target: [...targets][0]!, how: step.how }
      if (targets && targets.size > 1) {
        const list = [...targets].sort().join(' and ')
        return {
          target: null,
          reason: `${this.#what} ${text} may be ${list}: add an alias that tells them apart`,
          suggestion: null,
        }
      }
    }
    const nearest = suggest(text, this.#names)
    const suggestion = nearest && nearest.score >= 0.5 ? (this.#targetOfName.get(nearest.best) ?? null) : null
    return {
      target: null,
      reason: `no ${this.#what} on record is called ${text}${suggestion ? `; did they mean ${suggestion}?` : ''}`,
      suggestion,
    }
  }
}

function table(): Map<string, Set<string>> {
  return new Map()
}

function put(map: Map<string, Set<string>>, key: string | null, target: string): void {
  if (!key) return
  const set = map.get(key)
  if (set) set.add(target)
  else map.set(key, new Set([target]))
}

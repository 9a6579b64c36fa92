import type { Params, Warehouse } from '../warehouse/index.ts'

/** Fills tables that a question reads (`needs`), before its statement runs. */
export interface Preparation {
  /** What must stand filled, for the same params, before it; what this fills is filled anew whenever that is. */
  readonly after?: Preparation
  /** The params that decide what stands in the tables; a question's others only choose among it. */
  readonly reads: readonly string[]
  /** What it fills. Two preparations that fill the same table, with the same params, fill it alike. */
  readonly fills: readonly string[]
  fill(warehouse: Warehouse, params: Params): Promise<void>
}

/**
 * Which tables of one warehouse stand filled, and for what: a second question with the same `reads` finds them as they are.
 * All that ask the same warehouse share it, since they share the tables.
 */
export class Prepared {
  static readonly #all = new WeakMap<object, Prepared>()
  readonly #marks = new Map<string, { mark: string; filling: number }>()
  #fillings = 0
  #turn: Promise<unknown> = Promise.resolve()

  static of(warehouse: Warehouse): Prepared {
    const one = Prepared.#all.get(warehouse.root) ?? new Prepared()
    Prepared.#all.set(warehouse.root, one)
    return one
  }

  /** One at a time: nobody else prepares until what was prepared has been read, or its statement has begun. */
  inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#turn.then(work)
    this.#turn = turn.catch(() => undefined)
    return turn
  }

  /** `state` changes when the records do, or the day; null: nothing is kept. Gives the number of the filling that stands. */
  async see(one: Preparation, warehouse: Warehouse, params: Params, state: string | null): Promise<number> {
    const base = one.after ? await this.see(one.after, warehouse, params, state) : 0
    const read = one.reads.map((name) => String(params[name] ?? ''))
    const mark = JSON.stringify([state, one.reads, read, base])
    const kept = one.fills.map((table) => this.#marks.get(table))
    if (state !== null && kept.every((made) => made?.mark === mark)) return kept[0]!.filling
    for (const table of one.fills) this.#marks.delete(table)
    await warehouse.exclusive(() => one.fill(warehouse, params))
    const filling = ++this.#fillings
    if (state !== null) for (const table of one.fills) this.#marks.set(table, { mark, filling })
    return filling
  }
}

import type { Preparation } from '../catalogue/index.ts'
import { prepareDrift, prepareTraces } from '../effectiveness/index.ts'
import { prepareBacktest, prepareDue } from '../maintenance/index.ts'

/** What some questions need computed before their statement runs, by the name in their header. */
export const preparations: Readonly<Record<string, Preparation>> = {
  drift: prepareDrift,
  traces: prepareTraces,
  due: prepareDue,
  backtest: prepareBacktest,
}

import { type Preparation, QueryProblem } from '../catalogue/index.ts'
import { prepareProductivity, prepareSeasons } from '../effectiveness/index.ts'
import { PlanProblem, prepareBacktest, prepareDue, prepareWhatIf } from '../maintenance/index.ts'

/** What some questions need computed before their statement runs, by the name in their header. */
export const preparations: Readonly<Record<string, Preparation>> = {
  productivity: prepareProductivity,
  seasons: prepareSeasons,
  due: prepareDue,
  backtest: prepareBacktest,
  'what-if': async (warehouse, params) => {
    try {
      await prepareWhatIf(warehouse, params)
    } catch (error) {
      if (error instanceof PlanProblem) throw new QueryProblem('bad-param', `due-what-if: ${error.message}`)
      throw error
    }
  },
}

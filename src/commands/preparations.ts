import { type Preparation, QueryProblem } from '../catalogue/index.ts'

/** What some questions need computed before their statement runs, by the name in their header; loaded when asked for. */
export const preparations: Readonly<Record<string, Preparation>> = {
  productivity: async (warehouse, params) =>
    (await import('../effectiveness/index.ts')).prepareProductivity(warehouse, params),
  seasons: async (warehouse, params) =>
    (await import('../effectiveness/index.ts')).prepareSeasons(warehouse, params),
  due: async (warehouse, params) => (await import('../maintenance/index.ts')).prepareDue(warehouse, params),
  ahead: async (warehouse, params) =>
    (await import('../maintenance/index.ts')).prepareAhead(warehouse, params),
  backtest: async (warehouse, params) =>
    (await import('../maintenance/index.ts')).prepareBacktest(warehouse, params),
  'what-if': async (warehouse, params) => {
    const { PlanProblem, prepareWhatIf } = await import('../maintenance/index.ts')
    try {
      await prepareWhatIf(warehouse, params)
    } catch (error) {
      if (error instanceof PlanProblem) throw new QueryProblem('bad-param', `due-what-if: ${error.message}`)
      throw error
    }
  },
}

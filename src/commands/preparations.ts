import { type Preparation, QueryProblem } from '../catalogue/index.ts'

const dueParams = ['as_of', 'tank', 'seed']

const due: Preparation = {
  reads: dueParams,
  fills: ['due'],
  fill: async (warehouse, params) => (await import('../maintenance/index.ts')).prepareDue(warehouse, params),
}

/** What some questions need computed before their statement runs, by the name in their header; loaded when asked for. */
export const preparations: Readonly<Record<string, Preparation>> = {
  productivity: {
    reads: ['season', 'from', 'to', 'aircraft', 'tank', 'base'],
    fills: ['base_productivity', 'productivity_curve'],
    fill: async (warehouse, params) =>
      (await import('../effectiveness/index.ts')).prepareProductivity(warehouse, params),
  },
  seasons: {
    reads: ['season', 'against', 'aircraft'],
    fills: ['season_rate'],
    fill: async (warehouse, params) =>
      (await import('../effectiveness/index.ts')).prepareSeasons(warehouse, params),
  },
  due,
  ahead: {
    after: due,
    reads: [...dueParams, 'item'],
    fills: ['due_ahead'],
    fill: async (warehouse, params) =>
      (await import('../maintenance/index.ts')).prepareAhead(warehouse, params),
  },
  backtest: {
    reads: ['season', 'every', ...dueParams],
    fills: ['due_backtest'],
    fill: async (warehouse, params) =>
      (await import('../maintenance/index.ts')).prepareBacktest(warehouse, params),
  },
  'what-if': {
    reads: ['per_day', 'window', 'done', 'swap', ...dueParams],
    fills: ['due_planned'],
    fill: async (warehouse, params) => {
      const { PlanProblem, prepareWhatIf } = await import('../maintenance/index.ts')
      try {
        await prepareWhatIf(warehouse, params)
      } catch (error) {
        if (error instanceof PlanProblem) throw new QueryProblem('bad-param', `due-what-if: ${error.message}`)
        throw error
      }
    },
  },
}

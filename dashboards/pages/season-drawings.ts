import { cumulativeByFire, type FireDayRow } from '../charts/cumulative-by-fire.ts'
import { type DayRow, seasonCalendar } from '../charts/season-calendar.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { chartFigure } from '../parts/figure.ts'
import { empty } from '../parts/states.ts'

export { placeMap } from './place.ts'

export async function calendar(context: Context): Promise<Child> {
  const days = await context.query<DayRow>('gallons-by-day')
  return days.length ? chartFigure(seasonCalendar, days, context) : empty('No flying day in this selection.')
}

export async function fireTotals(context: Context): Promise<Child> {
  const rows = await context.query<FireDayRow>('gallons-by-fire-day')
  return rows.length
    ? chartFigure(cumulativeByFire, rows, context)
    : empty('No fire received fluid in this selection.')
}

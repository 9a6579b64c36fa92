import { type DayRow, seasonCalendar } from '../../dashboards/charts/season-calendar.ts'
import { percentOf, plural } from '../../dashboards/charts/words.ts'
import { figure, quantity } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Asking, sum, tableOf } from './asking.ts'
import { type Figure, type Section, text } from './block.ts'
import { chartOf } from './chart.ts'
import type { Look } from './look.ts'

/** The few numbers of a season, and the day each was made. */
export async function overview(asking: Asking): Promise<{ summary: string; section: Section }> {
  const facts = await factsOf(asking)
  const { look } = asking
  const delivered = sum(facts.perFire, 'gallons')
  return {
    summary: summaryOf(facts, look),
    section: {
      title: 'Summary',
      blocks: [
        { is: 'figures', figures: figuresOf(facts, look) },
        ...(await asking.blocks(
          'gallons-by-day',
          (answer) => [
            chartOf(seasonCalendar, answer.rows as unknown as DayRow[], look),
            tableOf(answer, 'Gallons per day', ['day', 'drops', 'gallons', 'airborne_hours'], {
              isOffPaper: true,
            }),
          ],
          { nothing: 'No day with drops or flights.' },
        )),
        ...(await asking.blocks(
          'volume-by-purpose',
          (answer) => [
            tableOf(answer, 'What left the tanks, by purpose', ['purpose', 'drops', 'gallons'], {
              columns: [
                { name: 'purpose', kind: 'text', about: '' },
                { name: 'drops', kind: 'integer', about: '' },
                // Not all of it was delivered: the heading must not say so.
                { name: 'volume_gal', kind: 'number', about: '' },
              ],
              rows: answer.rows.map((row) => ({ ...row, volume_gal: row.gallons ?? null })),
              total: {
                purpose: 'all',
                drops: sum(answer.rows, 'drops'),
                volume_gal: sum(answer.rows, 'gallons'),
              },
            }),
            text(agreement(delivered, answer.rows, look)),
          ],
          { nothing: 'Nothing left a tank.' },
        )),
      ],
    },
  }
}

interface Facts {
  perFire: ResultRow[]
  perAircraft: ResultRow[]
  purposes: ResultRow[]
  drops: ResultRow[]
  outcomes: ResultRow[]
}

async function factsOf(asking: Asking): Promise<Facts> {
  const rowsOf = async (name: string, more = {}): Promise<ResultRow[]> =>
    (await asking.ask(name, more).catch(() => null))?.rows ?? []
  return {
    perFire: (await asking.ask('gallons-by-fire'))?.rows ?? [],
    perAircraft: await rowsOf('gallons-by-aircraft'),
    purposes: await rowsOf('volume-by-purpose'),
    drops: await rowsOf('drops'),
    outcomes: await rowsOf('outcome-rates', { by: 'objective' }),
  }
}

const servedFires = (facts: Facts): number =>
  facts.perFire.filter((row) => row.fire !== 'unattributed' && Number(row.drops) > 0).length

function rates(facts: Facts, look: Look): { perHour: string; perMissionHour: string } {
  const flown = sum(facts.perAircraft, 'gallons') ?? 0
  const rate = (name: string): string => {
    const hours = sum(facts.perAircraft, name)
    return quantity(hours ? flown / hours : null, 'volume-rate', look.units)
  }
  return { perHour: rate('airborne_hours'), perMissionHour: rate('mission_hours') }
}

function summaryOf(facts: Facts, look: Look): string {
  const count = sum(facts.perFire, 'drops') ?? 0
  if (count === 0) return 'No drop on a fire is on record for this selection.'
  const hours = sum(facts.perAircraft, 'airborne_hours')
  const first = `${quantity(sum(facts.perFire, 'gallons'), 'volume', look.units)} were delivered to ${plural(servedFires(facts), 'fire')} in ${plural(count, 'drop')}, in ${quantity(hours, 'hours', look.units)} airborne.`
  const { yes, known } = success(facts)
  const worked =
    known > 0
      ? ` Of ${plural(known, 'drop')} that an observer judged, ${percentOf(yes, known)} did what was asked of them.`
      : ''
  const both = facts.drops.filter((row) => row.status === 'corroborated').length
  const seen =
    facts.drops.length > 0
      ? ` ${percentOf(both, facts.drops.length)} of all drops are attested by two witnesses.`
      : ''
  return `${first}${worked}${seen}`
}

function success(facts: Facts): { yes: number; known: number } {
  const yes = sum(facts.outcomes, 'effective') ?? 0
  return { yes, known: yes + (sum(facts.outcomes, 'not_effective') ?? 0) }
}

function figuresOf(facts: Facts, look: Look): Figure[] {
  const { units } = look
  const shown = (value: number | null): string => figure(value, 'count', units)
  const { perHour, perMissionHour } = rates(facts, look)
  const other = sum(
    facts.purposes.filter((row) => row.purpose !== 'fire'),
    'gallons',
  )
  const both = facts.drops.filter((row) => row.status === 'corroborated').length
  const { yes, known } = success(facts)
  return [
    {
      label: 'Delivered to fires',
      value: quantity(sum(facts.perFire, 'gallons'), 'volume', units),
      note: plural(sum(facts.perFire, 'drops') ?? 0, 'drop'),
    },
    { label: 'Fires served', value: shown(servedFires(facts)), note: unattributed(facts.perFire) },
    {
      label: 'Airborne',
      value: quantity(sum(facts.perAircraft, 'airborne_hours'), 'hours', units),
      note: `${quantity(sum(facts.perAircraft, 'mission_hours'), 'hours', units)} on mission flights`,
    },
    { label: 'Per airborne hour', value: perHour, note: `${perMissionHour} per mission hour` },
    {
      label: 'Aircraft',
      value: shown(facts.perAircraft.length),
      note: 'that flew or dropped',
    },
    {
      label: 'Released otherwise',
      value: quantity(other ?? 0, 'volume', units),
      note: 'jettison, emergency, training, ground test',
    },
    {
      label: 'Effective drops',
      value: known > 0 ? percentOf(yes, known) : '–',
      note: known > 0 ? `${shown(yes)} of ${shown(known)} judged by an observer` : 'no drop was judged',
    },
    {
      label: 'Corroborated drops',
      value: facts.drops.length > 0 ? percentOf(both, facts.drops.length) : '–',
      note: `${shown(both)} of ${shown(facts.drops.length)} seen by two witnesses`,
    },
  ]
}

function unattributed(rows: readonly ResultRow[]): string {
  const drops = Number(rows.find((row) => row.fire === 'unattributed')?.drops ?? 0)
  return drops === 0 ? 'every drop has its fire' : `${plural(drops, 'drop')} without a fire`
}

/** The same volume by two ways. */
function agreement(delivered: number | null, purposes: readonly ResultRow[], { units }: Look): string {
  const fire = Number(purposes.find((row) => row.purpose === 'fire')?.gallons ?? 0)
  const isSame = Math.abs((delivered ?? 0) - fire) <= 1e-9 * Math.max(1, fire)
  return isSame
    ? 'The sum over fires, with the unattributed, equals the volume of fire drops.'
    : `The sum over fires (${quantity(delivered, 'volume', units, 3)}) differs from the volume of fire drops (${quantity(fire, 'volume', units, 3)}): report this, it should not happen.`
}

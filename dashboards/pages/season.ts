import type { FireRow } from '../charts/gallons-by-fire.ts'
import { plural } from '../charts/words.ts'
import type { Page } from '../page.ts'
import { type Entry, ledger } from '../parts/ledger.ts'
import { reportLinks, reportParams } from '../parts/report-links.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { sumOf } from '../rows.ts'
import { dayText } from '../times.ts'
import { figure, unitOf } from '../units.ts'
import { mapNeeds } from './map-needs.ts'

interface PurposeRow {
  purpose: string
  drops: number
  gallons: number | null
}
interface AircraftRow {
  aircraft: string
  gallons: number | null
  airborne_hours: number | null
  mission_hours: number | null
}

/** The figures stand before the script of the drawings has been read. */
const drawings = (): Promise<typeof import('./season-drawings.ts')> => import('./season-drawings.ts')

const mostSilent = 200

export const season: Page = {
  name: 'season',
  title: 'Season',
  sections: [
    {
      question: 'What did the season come to?',
      needs: ['gallons-by-fire', 'gallons-by-aircraft', 'volume-by-purpose'],
      async answer(context) {
        const [fires, aircraft, purposes] = await Promise.all([
          context.query<FireRow>('gallons-by-fire'),
          context.query<AircraftRow>('gallons-by-aircraft'),
          context.query<PurposeRow>('volume-by-purpose'),
        ])
        const { units } = context.address
        const delivered = sumOf(fires, (row) => row.gallons)
        const hours = sumOf(aircraft, (row) => row.airborne_hours)
        const mission = sumOf(aircraft, (row) => row.mission_hours)
        const byAircraft = sumOf(aircraft, (row) => row.gallons)
        const drops = sumOf(fires, (row) => row.drops)
        const other = sumOf(
          purposes.filter((row) => row.purpose !== 'fire'),
          (row) => row.gallons,
        )
        const named = fires.filter((row) => row.fire !== 'unattributed' && row.drops > 0).length
        const unnamed = fires.find((row) => row.fire === 'unattributed')
        if (!drops)
          return empty('Nothing was delivered on these days.', 'Widen the days, or clear a filter above.')
        const entries: Entry[] = [
          {
            label: 'Delivered to fires',
            value: figure(delivered, 'volume', units),
            unit: unitOf('volume', units),
            note: plural(drops, 'drop'),
            href: context.link({ page: 'fires' }),
          },
          {
            label: 'Fires served',
            value: figure(named, 'count', units),
            note: unnamed?.drops
              ? `${plural(unnamed.drops, 'drop')} without a fire`
              : 'every drop has its fire',
            href: context.link({ page: 'fires' }),
          },
          {
            label: 'Airborne',
            value: figure(hours, 'hours', units),
            unit: 'h',
            note: `${figure(mission, 'hours', units)} h on mission flights`,
            href: context.link({ page: 'aircraft' }),
          },
          {
            label: 'Per airborne hour',
            value: figure(hours ? (byAircraft ?? 0) / hours : null, 'volume-rate', units),
            unit: unitOf('volume-rate', units),
            note: mission
              ? `${figure((byAircraft ?? 0) / mission, 'volume-rate', units)} per mission hour`
              : '',
            href: context.link({ page: 'aircraft' }),
          },
          {
            label: 'Released otherwise',
            value: figure(other ?? 0, 'volume', units),
            unit: unitOf('volume', units),
            note: 'jettison, emergency, training, ground test',
            href: context.link({ page: 'records' }),
          },
        ]
        return [ledger(entries), reportLinks('season', reportParams(context))]
      },
    },
    {
      question: 'When was the work?',
      needs: ['gallons-by-day'],
      answer: async (context) => (await drawings()).calendar(context),
    },
    {
      question: 'Which fires took it, and how fast?',
      needs: ['gallons-by-fire-day'],
      answer: async (context) => (await drawings()).fireTotals(context),
    },
    {
      question: 'Where was it?',
      needs: mapNeeds,
      answer: async (context) => (await drawings()).placeMap(context),
    },
    {
      question: 'What left the tanks that is not counted as delivered?',
      needs: ['volume-by-purpose'],
      half: true,
      async answer(context) {
        const rows = await context.query<PurposeRow>('volume-by-purpose')
        return table(
          rows.map((row) => ({ purpose: row.purpose, drops: row.drops, volume_gal: row.gallons })),
          {
            caption: 'Volume by purpose',
            name: 'volume-by-purpose',
            columns: ['purpose', 'drops', 'volume_gal'],
            sortable: false,
          },
          context,
        )
      },
    },
    {
      question: 'How far is the account complete?',
      needs: ['completeness'],
      half: true,
      async answer(context) {
        // Days without a report come first in it, so a part of a long list is enough.
        context.asked.add('completeness')
        const { rows } = await context.api.rowsFrom('completeness', context.filters, mostSilent, 0)
        const { counts, last_arrival } = context.api.status
        const { units } = context.address
        const toRecords = context.link({ page: 'records' })
        const count = (name: string): string => figure(counts[name] ?? null, 'count', units)
        const silent = rows.filter((row) => row.events === 0).length
        return ledger([
          { label: 'Rows read', value: count('rows'), note: `${count('files')} files`, href: toRecords },
          {
            label: 'Rows in quarantine',
            value: count('quarantined'),
            note: 'not in any figure until cured',
            href: toRecords,
          },
          { label: 'Findings open', value: count('findings'), note: 'to be looked at', href: toRecords },
          {
            label: 'Reports missing',
            value: `${figure(silent, 'count', units)}${silent === mostSilent ? '+' : ''}`,
            note: 'aircraft-days with flights and no report',
            href: toRecords,
          },
          { label: 'Last file arrived', value: dayText(last_arrival, true), href: toRecords },
        ])
      },
    },
  ],
}

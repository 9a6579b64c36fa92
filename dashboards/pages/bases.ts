import { type BaseHourRow, baseHourLoad } from '../charts/base-hour-load.ts'
import { type BiasRow, biasIntervals } from '../charts/bias-intervals.ts'
import {
  type BaseTimes,
  type CurveRow,
  gallonsPerHour,
  productivityCurve,
} from '../charts/productivity-curve.ts'
import { type TurnaroundRow, turnaroundParts } from '../charts/turnaround-parts.ts'
import type { Context } from '../context.ts'
import type { Child } from '../h.ts'
import { ledgers } from '../ledgers.ts'
import type { Page } from '../page.ts'
import { choices } from '../parts/choices.ts'
import { chartFigure } from '../parts/figure.ts'
import { longTable } from '../parts/long-table.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'

interface MeterRow {
  base: string
  pairs: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
}

const meterBias = biasIntervals(
  'meter-bias',
  'base',
  'pairs',
  "Ticket against the tank's gauge, percent, 95 % interval. Right of zero: the ticket shows more than the gauge.",
)

export const bases: Page = {
  name: 'bases',
  title: 'Bases',
  sections: [
    {
      question: 'What did each base load and deliver?',
      needs: ['gallons-by-base'],
      async answer(context) {
        const rows = await context.query<object>('gallons-by-base')
        return table(
          rows,
          {
            caption: 'Loads, gallons and hours by base',
            name: 'gallons-by-base',
            query: 'gallons-by-base',
            columns: ledgers['gallons-by-base'],
          },
          context,
        )
      },
    },
    {
      question: 'When is each base busy?',
      needs: ['loads-by-hour'],
      async answer(context) {
        const rows = await context.query<BaseHourRow>('loads-by-hour')
        return rows.length ? chartFigure(baseHourLoad, rows, context) : empty('No load in this selection.')
      },
    },
    {
      question: 'Where does turnaround time go?',
      needs: ['turnarounds'],
      async answer(context) {
        const rows = await context.query<TurnaroundRow>('turnarounds')
        return rows.length
          ? chartFigure(turnaroundParts, rows, context)
          : empty('No turnaround in this selection.')
      },
    },
    {
      question: 'What would a nearer base or a faster fill give?',
      needs: ['productivity', 'productivity-curve'],
      answer: productivity,
    },
    {
      question: 'Were tanks filled to what was asked?',
      needs: ['fill-accuracy'],
      answer: fills,
    },
    {
      question: 'Do the meters agree with the tanks?',
      needs: ['meter-bias'],
      async answer(context) {
        const rows = await context.query<MeterRow>('meter-bias')
        const list: BiasRow[] = rows.map((row) => ({
          label: row.base,
          count: row.pairs,
          bias_pct: row.bias_pct,
          low_pct: row.low_pct,
          high_pct: row.high_pct,
        }))
        return rows.length
          ? [chartFigure(meterBias, list, context), await worthTable(context)]
          : empty('No base has loads seen by its meter and by a gauge.')
      },
    },
    {
      question: 'Which loads stand behind it?',
      needs: ['loads'],
      answer: (context) =>
        longTable(
          {
            caption: 'Loads',
            name: 'loads',
            query: 'loads',
            none: 'No load in this selection.',
            columns: [
              'load',
              'loaded_at',
              'aircraft',
              'tank',
              'base',
              'ticket',
              'volume_gal',
              'fluid',
              'status',
            ],
          },
          context,
        ),
    },
  ],
}

/** The curve that a base's own times imply, beside what the reader asks for. */
async function productivity(context: Context): Promise<Child> {
  // One preparation serves both: they are asked one after the other.
  const bases = await context.query<BaseTimes>('productivity')
  const curve = await context.query<CurveRow>('productivity-curve')
  const [first] = bases
  if (!first) return empty('No turnaround from a base to a fire and back to it in this selection.')
  const named = (one: BaseTimes): string => (one.name ? `${one.base} ${one.name}` : one.base)
  return [
    choices(
      [
        {
          name: 'base',
          label: 'Base',
          options: bases.map((one) => [one.base, named(one)]),
          value: first.base,
        },
        { name: 'nearer', label: 'nearer by', value: '10', unit: 'NM', most: 300 },
        { name: 'faster', label: 'fill shorter by', value: '5', unit: 'min', most: 60 },
      ],
      ({ base, nearer, faster }) => {
        const times = bases.find((one) => one.base === base)!
        const asked = { nearer_nm: whole(nearer), faster_min: whole(faster) }
        const rows = curve.filter((row) => row.base === base)
        const all = rows.map((row) => ({
          ...row,
          asked_gallons_per_hour: gallonsPerHour(times, row.distance_nm - asked.nearer_nm, asked.faster_min),
        }))
        return chartFigure(productivityCurve(times, asked), rows, context, all)
      },
    ),
    table(
      bases,
      {
        caption: 'Turnarounds to a fire and back, holding left out; medians of parts need not add up',
        name: 'productivity',
        query: 'productivity',
        columns: [
          'base',
          'turnarounds',
          'gallons_per_hour',
          'distance_nm',
          'gallons_per_turnaround',
          'fill_min',
          'out_min',
          'scene_min',
          'back_min',
          'nearer_gain',
          'faster_gain',
        ],
        limit: 15,
      },
      context,
    ),
  ]
}

const whole = (text: string | undefined): number => Math.max(0, Math.round(Number(text) || 0))

interface FillRow {
  base: string | null
  tank: string | null
  loads: number
  with_target: number
  bias_pct: number | null
  low_pct: number | null
  high_pct: number | null
  overflows: number
}

const fillAccuracy = biasIntervals(
  'fill-accuracy',
  'group',
  'loads',
  'Loaded against the target asked for, percent, 95 % interval. Loaded is what the gauge saw, else the ticket corrected for its meter.',
)

function fills(context: Context): Child {
  const by = [
    ['base', 'base'],
    ['tank', 'tank'],
    ['both', 'base and tank'],
  ] as const
  return choices([{ name: 'by', label: 'By', options: by, value: 'base' }], async (chosen) => {
    const rows = await context.query<FillRow>('fill-accuracy', { by: chosen.by! })
    if (!rows.length) return empty('No load in this selection.')
    const list: BiasRow[] = rows.map((row) => ({
      label: [row.base, row.tank].filter(Boolean).join(' · '),
      count: row.with_target,
      bias_pct: row.bias_pct,
      low_pct: row.low_pct,
      high_pct: row.high_pct,
    }))
    return [
      chartFigure(fillAccuracy, list, context),
      table(
        rows,
        {
          caption: 'Fills against their targets, and overflows',
          name: 'fill-accuracy',
          query: 'fill-accuracy',
          columns: [
            'base',
            'tank',
            'loads',
            'with_target',
            'bias_pct',
            'sd_pct',
            'overflows',
            'overflow_rate',
          ].filter((name) => chosen.by === 'both' || name !== (chosen.by === 'base' ? 'tank' : 'base')),
          limit: 12,
        },
        context,
      ),
    ]
  })
}

/** What the bias came to in money, where contracts price the loaded gallon. */
async function worthTable(context: Context): Promise<Child> {
  const rows = await context.maybe<object>('meter-bias-worth')
  if (!rows?.length) return null
  return table(
    rows,
    {
      caption: 'What the bias was worth: positive, the meter read too much and that much was charged',
      name: 'meter-bias-worth',
      query: 'meter-bias-worth',
      columns: [
        'base',
        'contract',
        'season',
        'loads',
        'amount',
        'worth',
        'worth_low',
        'worth_high',
        'currency',
      ],
    },
    context,
  )
}

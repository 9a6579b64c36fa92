import type { Claim } from '../claims.ts'
import { write } from '../clock.ts'
import { litresPerGallon, type Sheet } from './sheet.ts'

const densityLbPerGal = 8.9

function ticketProfile(
  name: string,
  rest: Record<string, unknown>,
  names: Record<string, string | string[]>,
  unit: string,
): Sheet['profile'] {
  const time = (from: string): object => ({ from: names[from], format: names.format })
  return {
    profile: name,
    format: 'csv',
    ...rest,
    zone: { from: 'base' },
    records: [
      {
        kind: 'load',
        witness: 'ticket',
        fields: {
          loaded_at: time('done'),
          started_at: time('started'),
          aircraft: { from: names.aircraft },
          base: { from: names.base },
          ticket: { from: names.ticket },
          volume: { from: names.volume, unit },
          target: { from: names.target, unit },
          fluid: { from: names.fluid },
          ...(names.overflow ? { overflow: { from: names.overflow } } : {}),
        },
      },
    ],
  }
}

/** Loading tickets by three kinds of meter: US gallons, litres (decimal comma), and weight. */
export function ticketSheets(zoneOf: (base: string) => string): Sheet[] {
  const local = ({ times, values }: Claim, name: string, pattern: string): string =>
    write(times[name]!, zoneOf(String(values.base)), pattern)
  const comma = (value: number | null): string | null =>
    value === null ? null : String(value).replace('.', ',')
  return [
    {
      form: {
        format: 'csv',
        headers: [
          'Ticket No',
          'Base',
          'Start',
          'Done',
          'Aircraft',
          'Product',
          'Gallons',
          'Requested',
          'Overflow',
        ],
      },
      profile: ticketProfile(
        'ticket-gallons',
        { headers: ['Ticket No', 'Base', 'Start', 'Done', 'Gallons', 'Requested'] },
        {
          ticket: 'Ticket No',
          base: 'Base',
          started: 'Start',
          done: 'Done',
          format: ['%m/%d/%Y %H:%M:%S'],
          aircraft: 'Aircraft',
          fluid: 'Product',
          volume: 'Gallons',
          target: 'Requested',
          overflow: 'Overflow',
        },
        'gal_us',
      ),
      row: (claim, pen) => ({
        'Ticket No': claim.values.ticket ?? null,
        Base: claim.values.base ?? null,
        Start: local(claim, 'started_at', '%m/%d/%Y %H:%M:%S'),
        Done: local(claim, 'loaded_at', '%m/%d/%Y %H:%M:%S'),
        Aircraft: pen.aircraft(claim.aircraft),
        Product: pen.fluid(claim.values.fluid ?? null),
        Gallons: pen.gallons(claim.values.volume_gal ?? null),
        Requested: claim.values.target_gal ?? null,
        Overflow: claim.values.overflow ?? null,
      }),
    },
    {
      form: {
        format: 'csv',
        delimiter: ';',
        encoding: 'windows-1252',
        headers: ['Ticket', 'Base', 'Fill from', 'Fill to', 'A/C', 'Agent', 'Litres', 'Asked L', 'Temp °C'],
      },
      profile: ticketProfile(
        'ticket-litres',
        {
          csv: { delimiter: ';', encoding: 'windows-1252', decimal: ',' },
          headers: ['Ticket', 'Base', 'Fill from', 'Fill to', 'Litres', 'Temp °C'],
        },
        {
          ticket: 'Ticket',
          base: 'Base',
          started: 'Fill from',
          done: 'Fill to',
          format: ['%d %b %Y %H:%M:%S'],
          aircraft: 'A/C',
          fluid: 'Agent',
          volume: 'Litres',
          target: 'Asked L',
        },
        'L',
      ),
      row: (claim, pen) => ({
        Ticket: claim.values.ticket ?? null,
        Base: claim.values.base ?? null,
        'Fill from': local(claim, 'started_at', '%d %b %Y %H:%M:%S'),
        'Fill to': local(claim, 'loaded_at', '%d %b %Y %H:%M:%S'),
        'A/C': pen.aircraft(claim.aircraft),
        Agent: pen.fluid(claim.values.fluid ?? null),
        Litres: comma(pen.measured(claim.values.volume_gal ?? null, litresPerGallon, 1)),
        'Asked L': comma(pen.measured(claim.values.target_gal ?? null, litresPerGallon, 1)),
        'Temp °C': null,
      }),
    },
    {
      form: {
        format: 'csv',
        encoding: 'utf-16',
        headers: ['Slip', 'Site', 'In', 'Out', 'Tail', 'Fluid', 'Net lb', 'Order lb'],
      },
      profile: ticketProfile(
        'ticket-weight',
        {
          csv: { encoding: 'utf-16' },
          headers: ['Slip', 'Site', 'In', 'Out', 'Net lb'],
          density_lb_per_gal: densityLbPerGal,
        },
        {
          ticket: 'Slip',
          base: 'Site',
          started: 'In',
          done: 'Out',
          format: ['%Y-%m-%d %H:%M:%S'],
          aircraft: 'Tail',
          fluid: 'Fluid',
          volume: 'Net lb',
          target: 'Order lb',
        },
        'lb',
      ),
      row: (claim, pen) => ({
        Slip: claim.values.ticket ?? null,
        Site: claim.values.base ?? null,
        In: local(claim, 'started_at', '%Y-%m-%d %H:%M:%S'),
        Out: local(claim, 'loaded_at', '%Y-%m-%d %H:%M:%S'),
        Tail: pen.aircraft(claim.aircraft),
        Fluid: pen.fluid(claim.values.fluid ?? null),
        'Net lb': pen.measured(claim.values.volume_gal ?? null, densityLbPerGal, 1),
        'Order lb': pen.measured(claim.values.target_gal ?? null, densityLbPerGal, 1),
      }),
    },
  ]
}

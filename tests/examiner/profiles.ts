export const sheetZone = 'America/Denver'

const at = (from: string | string[], ...format: string[]): object => ({ from, format })
const field = (from: string | string[], more: object = {}): object => ({ from, ...more })

/** How the senders' files are to be read. */
export const profiles = [
  {
    profile: 'examiner-sheet',
    format: 'csv',
    csv: { delimiter: ';', encoding: 'windows-1252', decimal: ',' },
    headers: ['Date', 'Time', 'Tanker', 'Incident', 'Litres', 'What'],
    zone: sheetZone,
    records: [
      {
        kind: 'drop',
        witness: 'crew',
        fields: {
          dropped_at: at(['Date', 'Time'], '%d.%m.%Y %H:%M:%S'),
          aircraft: field('Tanker'),
          fire: field('Incident'),
          volume: field('Litres', { unit: 'L' }),
          fraction: field('Split'),
          coverage_level: field('CL'),
          fluid: field('Fluid', { values: { RET: 'retardant' } }),
          purpose: field('What'),
          commanded: field('Ordered', { unit: 'gal_us' }),
          openings: field('Openings'),
          position: field(['Lat', 'Lon']),
        },
      },
    ],
  },
  {
    profile: 'examiner-tickets',
    format: 'csv',
    headers: ['Filled', 'Base', 'Slip', 'Imp gal'],
    zone: { from: 'base' },
    records: [
      {
        kind: 'load',
        witness: 'ticket',
        fields: {
          loaded_at: at('Filled', '%m/%d/%Y %H:%M:%S'),
          started_at: at('Begun', '%m/%d/%Y %H:%M:%S'),
          base: field('Base'),
          ticket: field('Slip'),
          aircraft: field('Tanker'),
          volume: field('Imp gal', { unit: 'gal_imp' }),
          target: field('Asked', { unit: 'gal_imp' }),
          overflow: field('Over'),
          fluid: field('Product'),
        },
      },
    ],
  },
  {
    profile: 'examiner-flights',
    format: 'csv',
    csv: { delimiter: '\t', encoding: 'utf-16' },
    headers: ['Off', 'On', 'Reg'],
    zone: 'UTC',
    records: [
      {
        kind: 'flight',
        witness: 'tracker',
        fields: {
          off_at: field('Off'),
          on_at: field('On'),
          aircraft: field('Reg'),
          from_base: field('From'),
          to_base: field('To'),
        },
      },
    ],
  },
  {
    profile: 'examiner-download',
    format: 'jsonl',
    headers: ['k', 'ms', 'tail', 'id'],
    zone: 'UTC',
    ignore: { k: ['BOOT'] },
    records: [
      {
        kind: 'load',
        witness: 'controller',
        where: { k: ['FILL'] },
        fields: {
          loaded_at: at('ms', 'epoch_ms'),
          started_at: at('start', 'epoch_ms'),
          aircraft: field('tail'),
          record: field('id'),
          volume: field('vol', { unit: 'gal_us' }),
          gauge_before: field('before', { unit: 'gal_us' }),
          gauge_after: field('after', { unit: 'gal_us' }),
        },
      },
      {
        kind: 'drop',
        witness: 'controller',
        where: { k: ['DROP'] },
        fields: {
          dropped_at: at('ms', 'epoch_ms'),
          aircraft: field('tail'),
          record: field('id'),
          volume: field('vol', { unit: 'gal_us' }),
          commanded: field('cmd', { unit: 'gal_us' }),
          coverage_level: field('cl'),
          fraction: field('split'),
          doors: field('doors'),
          openings: field('n'),
          position: field('pos'),
          height: field('agl', { unit: 'ft' }),
          groundspeed: field('gs', { unit: 'kt' }),
          duration: field('s', { unit: 's' }),
          purpose: field('why'),
        },
      },
    ],
  },
]

import { write } from '../clock.ts'
import type { Sheet } from './sheet.ts'

/** Crew flight log in local time, one form for each zone. */
export function flightLog(letters: 'MT' | 'PT', zone: string): Sheet {
  const off = `Off ${letters}`
  const on = `On ${letters}`
  return {
    form: { format: 'csv', headers: ['Date', 'Tail', off, on, 'Hrs', 'From', 'To'] },
    profile: {
      profile: `flight-log-${letters.toLowerCase()}`,
      format: 'csv',
      headers: ['Date', 'Tail', off, on, 'Hrs'],
      zone,
      records: [
        {
          kind: 'flight',
          witness: 'crew',
          fields: {
            off_at: { from: ['Date', off], format: ['%m/%d/%Y %H:%M'] },
            on_at: { from: ['Date', on], format: ['%m/%d/%Y %H:%M'] },
            aircraft: { from: 'Tail' },
            hours: { from: 'Hrs' },
            from_base: { from: 'From' },
            to_base: { from: 'To' },
          },
        },
      ],
    },
    row: ({ times, values, aircraft }, pen) => ({
      Date: write(times.off_at!, zone, '%m/%d/%Y'),
      Tail: pen.aircraft(aircraft),
      [off]: write(times.off_at!, zone, '%H:%M'),
      [on]: write(times.on_at!, zone, '%H:%M'),
      Hrs: values.hours ?? null,
      From: values.from_base ?? null,
      To: values.to_base ?? null,
    }),
  }
}

/** Flights that the tracker's service saw, in seconds since 1970. */
export const trackerFlights: Sheet = {
  form: { format: 'csv', headers: ['unit', 'takeoff', 'landing', 'origin', 'destination'] },
  profile: {
    profile: 'tracker-flights',
    format: 'csv',
    headers: ['unit', 'takeoff', 'landing'],
    zone: 'UTC',
    records: [
      {
        kind: 'flight',
        witness: 'tracker',
        fields: {
          off_at: { from: 'takeoff', format: ['epoch_s'] },
          on_at: { from: 'landing', format: ['epoch_s'] },
          aircraft: { from: 'unit' },
          from_base: { from: 'origin' },
          to_base: { from: 'destination' },
        },
      },
    ],
  },
  row: ({ times, values, aircraft }) => ({
    unit: aircraft,
    takeoff: times.off_at!,
    landing: times.on_at!,
    origin: values.from_base ?? null,
    destination: values.to_base ?? null,
  }),
}

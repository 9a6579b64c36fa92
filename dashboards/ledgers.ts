/** Columns of ledgers that stand on pages and in reports alike, in order. */
export const ledgers = {
  'gallons-by-base': [
    'base',
    'name',
    'loads',
    'loaded_gal',
    'drops',
    'gallons',
    'flight_hours',
    'gallons_per_flight_hour',
    'median_turnaround_min',
  ],
  'gallons-by-aircraft': [
    'aircraft',
    'call_number',
    'drops',
    'gallons',
    'airborne_hours',
    'mission_hours',
    'gallons_per_airborne_hour',
    'gallons_per_mission_hour',
  ],
} as const

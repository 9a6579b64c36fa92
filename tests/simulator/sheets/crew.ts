import { write, zoneOffset } from '../clock.ts'
import type { Row } from '../files.ts'
import { issued, type Sheet } from './sheet.ts'

const us = ['%m/%d/%Y %H:%M:%S', '%m/%d/%Y %H%M']
const typeWords: Record<string, string> = {
  fire: 'DROP',
  jettison: 'JETT',
  emergency: 'DUMP',
  training: 'TRNG',
}
const typeValues = { DROP: 'fire', JETT: 'jettison', DUMP: 'emergency', TRNG: 'training' }

const twoColumns = (place: { latitude: string; longitude: string } | null): Row => ({
  Lat: place?.latitude ?? null,
  Lon: place?.longitude ?? null,
})

/** Crew drop sheet of the mountain bases: CSV, mountain time. */
export const crewMountain: Sheet = {
  form: {
    format: 'csv',
    headers: [
      'Date',
      'Time MT',
      'Tanker',
      'Incident',
      'Gals',
      'Split',
      'CL',
      'Product',
      'Type',
      'Lat',
      'Lon',
    ],
  },
  profile: {
    profile: 'crew-drop-sheet-mountain',
    format: 'csv',
    headers: ['Date', 'Time MT', 'Tanker', 'Incident', 'Gals', 'Split', 'Type'],
    zone: 'America/Boise',
    issued_at: issued,
    records: [
      {
        kind: 'drop',
        witness: 'crew',
        fields: {
          dropped_at: { from: ['Date', 'Time MT'], format: us },
          aircraft: { from: 'Tanker' },
          fire: { from: 'Incident' },
          volume: { from: 'Gals', unit: 'gal_us' },
          fraction: { from: 'Split' },
          coverage_level: { from: 'CL' },
          fluid: { from: 'Product' },
          purpose: { from: 'Type', values: typeValues },
          position: { from: ['Lat', 'Lon'] },
        },
      },
    ],
  },
  row: ({ times, values, aircraft }, pen) => ({
    Date: write(times.dropped_at!, 'America/Boise', '%m/%d/%Y'),
    'Time MT': write(times.dropped_at!, 'America/Boise', times.dropped_at! % 60 === 0 ? '%H%M' : '%H:%M:%S'),
    Tanker: pen.aircraft(aircraft),
    Incident: values.fire ?? null,
    Gals: pen.gallons(values.volume_gal ?? null),
    Split: pen.fraction(values.fraction ?? null),
    CL: values.coverage_level ?? null,
    Product: pen.fluid(values.fluid ?? null),
    Type: typeWords[String(values.purpose)] ?? null,
    ...twoColumns(pen.position(values.latitude ?? null, values.longitude ?? null)),
  }),
}

/** Crew drop sheet of the pacific bases: a workbook with a title above the headers, pacific time as serial days. */
export const crewPacific: Sheet = {
  form: {
    format: 'xlsx',
    sheet: 'Drops',
    above: [['Drop sheet, pacific crews'], [null]],
    headers: ['When PT', 'A/C', 'Fire', 'Volume', 'Part', 'Coverage', 'Agent', 'Mission', 'Position'],
  },
  profile: {
    profile: 'crew-drop-sheet-pacific',
    format: 'xlsx',
    xlsx: { sheet: 'Drops', header_row: 3 },
    headers: ['When PT', 'A/C', 'Fire', 'Volume', 'Part', 'Mission'],
    zone: 'America/Los_Angeles',
    issued_at: issued,
    records: [
      {
        kind: 'drop',
        witness: 'crew',
        fields: {
          dropped_at: { from: 'When PT', format: ['excel_serial'] },
          aircraft: { from: 'A/C' },
          fire: { from: 'Fire' },
          volume: { from: 'Volume', unit: 'gal_us' },
          fraction: { from: 'Part' },
          coverage_level: { from: 'Coverage' },
          fluid: { from: 'Agent' },
          purpose: { from: 'Mission', values: typeValues },
          position: { from: 'Position' },
        },
      },
    ],
  },
  row({ times, values, aircraft }, pen) {
    const local = times.dropped_at! + zoneOffset('America/Los_Angeles', times.dropped_at!)
    const place = pen.position(values.latitude ?? null, values.longitude ?? null)
    return {
      'When PT': local / 86_400 + 25_569,
      'A/C': pen.aircraft(aircraft),
      Fire: values.fire ?? null,
      Volume: pen.gallons(values.volume_gal ?? null),
      Part: pen.fraction(values.fraction ?? null),
      Coverage: values.coverage_level ?? null,
      Agent: pen.fluid(values.fluid ?? null),
      Mission: typeWords[String(values.purpose)] ?? null,
      Position: place && `${place.latitude} ${place.longitude}`,
    }
  },
}

import type { Page } from './page.ts'

export interface PageEntry {
  readonly name: string
  readonly title: string
  readonly numeral: string
  load(): Promise<Page>
}

/** The pages in the order of the thumb index; each comes as its own script when it is first opened. */
export const pages: readonly PageEntry[] = [
  {
    name: 'season',
    title: 'Season',
    numeral: 'I',
    load: async () => (await import('./pages/season.ts')).season,
  },
  {
    name: 'fires',
    title: 'Fires',
    numeral: 'II',
    load: async () => (await import('./pages/fires.ts')).fires,
  },
  {
    name: 'bases',
    title: 'Bases',
    numeral: 'III',
    load: async () => (await import('./pages/bases.ts')).bases,
  },
  {
    name: 'aircraft',
    title: 'Aircraft',
    numeral: 'IV',
    load: async () => (await import('./pages/aircraft.ts')).aircraft,
  },
  {
    name: 'tanks',
    title: 'Tanks & inspections',
    numeral: 'V',
    load: async () => (await import('./pages/tanks.ts')).tanks,
  },
  {
    name: 'invoices',
    title: 'Invoices',
    numeral: 'VI',
    load: async () => (await import('./pages/invoices.ts')).invoices,
  },
  {
    name: 'effectiveness',
    title: 'Effectiveness',
    numeral: 'VII',
    load: async () => (await import('./pages/effectiveness.ts')).effectiveness,
  },
  {
    name: 'records',
    title: 'Records & findings',
    numeral: 'VIII',
    load: async () => (await import('./pages/records.ts')).records,
  },
]

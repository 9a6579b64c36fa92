import type { QueryInfo } from './api.ts'
import type { Page } from './page.ts'

export interface PageEntry {
  readonly name: string
  readonly title: string
  readonly numeral: string
  /** The page whose mark in the thumb index stands for this one too. */
  readonly under?: string
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
    name: 'tank',
    title: 'A tank’s life',
    numeral: 'V',
    under: 'tanks',
    load: async () => (await import('./pages/tank.ts')).tank,
  },
  {
    name: 'what-if',
    title: 'What if',
    numeral: 'V',
    under: 'tanks',
    load: async () => (await import('./pages/what-if.ts')).whatIf,
  },
  {
    name: 'work-list',
    title: 'Work list',
    numeral: 'V',
    under: 'tanks',
    load: async () => (await import('./pages/work-list.ts')).workList,
  },
  {
    name: 'conversion',
    title: 'Conversion sheet',
    numeral: 'V',
    under: 'tanks',
    load: async () => (await import('./pages/conversion.ts')).conversion,
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
    name: 'releases',
    title: 'Settings & releases',
    numeral: 'VIII',
    load: async () => (await import('./pages/releases.ts')).releases,
  },
  {
    name: 'records',
    title: 'Records & findings',
    numeral: 'IX',
    load: async () => (await import('./pages/records.ts')).records,
  },
]

/** Pages of questions that people brought themselves, behind those of the book. */
export const ownPages = (own: readonly QueryInfo[]): PageEntry[] =>
  own.map((info) => ({
    name: `query/${info.name}`,
    title: info.title,
    numeral: '·',
    load: async () => (await import('./pages/own-query.ts')).ownPage(info),
  }))

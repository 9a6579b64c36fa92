import type { Filters, Units } from '../address.ts'
import type { Measure } from '../units.ts'

export interface Size {
  readonly width: number
  readonly height?: number
}

export interface ChartOptions {
  /** Where to draw; a report gives its own document. */
  readonly document?: Document
  readonly units?: Units
  readonly zone?: string
  /** Address that narrows the page to one fire, base, day, …; without it nothing in the chart is a link. */
  readonly link?: (narrow: Filters) => string
  /** Address of a record's evidence. */
  readonly evidence?: (kind: string, id: string) => string
  /** A drawing that answers to the pointer. Off on paper. */
  readonly live?: boolean
}

export interface ChartColumn {
  readonly name: string
  readonly label: string
  readonly measure?: Measure | 'time' | 'day'
  readonly digits?: number
}

/**
 * A chart is a pure function of rows, size and options. `R` are the rows it draws, which its table shows too.
 */
export interface Chart<R> {
  /** Name of its files: `season-calendar.csv`. */
  readonly name: string
  readonly columns: readonly ChartColumn[]
  /** The title: what the rows say, in one sentence. */
  finding(rows: readonly R[], options: ChartOptions): string
  /** What is drawn, with its units, in one line under the title. */
  caption(rows: readonly R[], options: ChartOptions): string
  /** What a person who cannot see the drawing is told. */
  describe(rows: readonly R[], options: ChartOptions): string
  /** @throws nothing for empty rows: an empty drawing is a drawing. */
  draw(rows: readonly R[], size: Size, options: ChartOptions): SVGSVGElement
}

export const optionsOf = (options: ChartOptions): { units: Units; zone: string } => ({
  units: options.units ?? 'us',
  zone: options.zone ?? 'UTC',
})

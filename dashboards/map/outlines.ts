import type { MultiLineString } from 'geojson'
import states from './states.json' with { type: 'json' }

/** Borders of the states, baked by `bake.ts`. */
export const outlines = states as unknown as MultiLineString

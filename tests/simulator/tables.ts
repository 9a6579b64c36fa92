/** Invented names and kinds of things. None of these operators, bases, aircraft or fires exists. */

export const basePlaces = [
  ['JUN', 'Juniper Flat', 'America/Boise', 43.562, -116.212, 'retardant', ['Juniper', 'JUNIPER FLAT ATB']],
  [
    'CIN',
    'Cinder Butte',
    'America/Los_Angeles',
    42.934,
    -121.318,
    'retardant',
    ['Cinder', 'CINDER BUTTE ATB'],
  ],
  ['ALK', 'Alkali Bench', 'America/Boise', 43.118, -112.471, 'gel', ['Alkali']],
  ['PON', 'Ponderosa Gap', 'America/Los_Angeles', 44.871, -119.204, 'water', ['Ponderosa', 'PON GAP']],
  ['SAG', 'Sagehen Mesa', 'America/Denver', 45.117, -109.883, 'retardant', ['Sagehen']],
  ['TAM', 'Tamarack Bar', 'America/Los_Angeles', 47.231, -118.622, 'foam', ['Tamarack']],
] as const

export const aircraftTypes = [
  { designator: 'ZX4', class: 'large', load: 3000, cruise: 290, max: 380 },
  { designator: 'ZX2', class: 'medium', load: 1600, cruise: 240, max: 320 },
  { designator: 'ZX8', class: 'very-large', load: 4000, cruise: 330, max: 420 },
  { designator: 'ZX1', class: 'light', load: 800, cruise: 170, max: 230 },
] as const

/** Capacities, doors and ways of opening, by the class of aircraft that carries the tank. */
export const tankModels: Record<string, readonly (readonly [string, number, number, string, string])[]> = {
  light: [['TL-08', 800, 2, 'together', 'gravity']],
  medium: [
    ['TM-16', 1600, 4, 'in-sequence', 'gravity'],
    ['TM-15', 1500, 2, 'together', 'constant'],
  ],
  large: [
    ['TX-30', 3000, 6, 'in-sequence', 'constant'],
    ['TX-28', 2800, 2, 'together', 'constant'],
  ],
  'very-large': [['TV-40', 4000, 4, 'together', 'constant']],
}

export const fireNames =
  `Anvil Creek|Badger Slide|Copper Fork|Dry Lantern|Elkhorn Bend|Flint Saddle|Gopher Knob|Hollow Pine|Iron Kettle|Jackpine Run|Kestrel Ridge|Lodgepole Two|Mule Shoe|Nettle Spring|Owl Canyon|Pumice Point|Quartz Hill|Rattle Gulch|Sorrel Meadow|Tin Cup Divide|Umber Flat|Vetch Hollow|Willow Trap|Yarrow Peak|Zigzag Draw|Bitter Root Fence|Candle Rock|Driftwood Bench|Ember Lake|Fiddle Neck|Granite Oven|Horse Thief Cut|Inkwell|Jump Off Joe Draw|Knotweed|Larkspur|Moonstone Rim|Needle Eye|Obsidian Shelf|Paintbrush|Quail Covey|Rust Bucket|Spindle Top|Thimble Butte|Upper Gate|Viper Wash|Whistle Pass|Yellow Slate`.split(
    '|',
  )

export const fuels = ['grass', 'brush', 'timber-litter', 'timber-understory', 'slash', 'grass-shrub'] as const

/** Coverage levels that crews set by fuel, gallons per 100 square feet. */
export const usualCoverage: Record<string, readonly number[]> = {
  grass: [1, 2],
  'grass-shrub': [2, 3],
  brush: [4, 6],
  'timber-litter': [3, 4],
  'timber-understory': [4, 6],
  slash: [6],
}

/** Kinds of component that belong to the tank as a whole, with the position they sit in. */
export const tankComponents = [
  ['vent valve', 'vent', 'VV'],
  ['level sensor', 'level', 'LS'],
  ['accumulator', 'accumulator', 'AC'],
  ['emergency accumulator', 'emergency-accumulator', 'EA'],
  ['hose', 'hose-1', 'HS'],
  ['fill valve', 'fill', 'FV'],
] as const

/** Kinds of component that sit at each door. */
export const doorComponents = [
  ['door', 'DR'],
  ['actuator', 'AT'],
  ['seal', 'SL'],
] as const

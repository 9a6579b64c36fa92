import type { Unit } from '../values/index.ts'

/** What a column of a trade's sheet is likely to hold. */
export type Meaning =
  | 'date'
  | 'time'
  | 'moment'
  | 'off'
  | 'on'
  | 'ordered'
  | 'started'
  | 'aircraft'
  | 'tank'
  | 'base'
  | 'from'
  | 'to'
  | 'fire'
  | 'volume'
  | 'target'
  | 'commanded'
  | 'before'
  | 'after'
  | 'fraction'
  | 'coverage'
  | 'fluid'
  | 'purpose'
  | 'type'
  | 'doors'
  | 'openings'
  | 'latitude'
  | 'longitude'
  | 'position'
  | 'height'
  | 'altitude'
  | 'groundspeed'
  | 'duration'
  | 'hours'
  | 'ticket'
  | 'record'
  | 'overflow'
  | 'method'
  | 'event'

/**
 * Spellings that logs of the trade use for their headers (common practice, no source), tried in order against the
 * header in lower case with everything but letters and digits turned into single spaces.
 */
export const headerWords: readonly (readonly [Meaning, RegExp])[] = [
  ['position', /^(position|pos|location|loc|coord(inate)?s?|lat ?lon(g)?|lat long|grid|mgrs|utm|gps)$/],
  ['latitude', /\b(lat|latitude)\b/],
  ['longitude', /\b(lon|long|lng|longitude)\b/],
  [
    'off',
    /^(off|t o|to time|takeoff|take off|wheels off|wheels up|off time|time off|off at|dep|depart(ed|ure)?|out|airborne)( time| at| local| utc| l| z)?$/,
  ],
  [
    'on',
    /^(on|ldg|land(ed|ing)?|wheels on|wheels down|on time|time on|on at|arr|arriv(ed|al)|in)( time| at| local| utc| l| z)?$/,
  ],
  ['ordered', /\b(ordered|order time|dispatched|request(ed)?)\b/],
  ['started', /\b(start|started|begin|fill start)\b/],
  ['before', /\b(gauge|gage|level)\b.*\b(before|start|pre)\b|\b(before|pre)\b.*\b(gauge|gage|level|fill)\b/],
  ['after', /\b(gauge|gage|level)\b.*\b(after|end|post)\b|\b(after|post)\b.*\b(gauge|gage|level|fill)\b/],
  ['target', /\b(target|requested vol(ume)?|asked)\b/],
  ['commanded', /\b(commanded|selected|set vol(ume)?|set gal(s|lons)?|cmd)\b/],
  ['coverage', /^(cl|cov|c l|cvg|coverage|cov lvl|cov level|coverage level|gpc)$/],
  ['fraction', /^(split|fraction|frac|portion|share|load share|part|pct load|load pct)$/],
  ['hours', /\b(hours|hrs|hobbs|flt time|flight time|block|tach|air time|airtime)\b/],
  ['ticket', /\b(ticket|tkt|docket|slip|load (no|num|number|id)|ld no)\b/],
  ['fire', /\b(incident|inc|fire|fire name|fire no|assignment|mission)\b/],
  ['from', /\b(from|origin|dep base|dep apt)\b/],
  ['to', /\b(to|dest|destination|arr base|arr apt)\b/],
  ['base', /\b(base|airbase|tanker base|reload|pit|atb|apt|airport|station|site)\b/],
  ['tank', /\b(tank (sn|serial|no|id)|tank|tank s n)\b/],
  [
    'aircraft',
    /\b(aircraft|a c|ac|acft|tanker|tkr|tail|registration|reg|rego|callsign|call sign|ship|seat|airframe|n number|unit)\b/,
  ],
  ['fluid', /\b(fluid|product|prod|agent|material|retardant type|suppressant|medium|contents)\b/],
  ['purpose', /\b(purpose|reason)\b/],
  ['doors', /\b(doors?)\b/],
  ['openings', /\b(openings|cycles|opens)\b/],
  ['height', /\b(agl|height|hgt|ht|drop alt(itude)?)\b/],
  ['altitude', /\b(altitude|alt|msl|elev(ation)?)\b/],
  ['groundspeed', /\b(gs|groundspeed|ground speed|speed|spd|kts)\b/],
  ['duration', /\b(duration|dur|open time|secs?|seconds)\b/],
  [
    'volume',
    /\b(gal|gals|gallons|usg|vol|volume|qty|quantity|litres|liters|ltrs?|amount|delivered|released|dropped|loaded|load|lbs?|weight|wt|kg)\b/,
  ],
  ['overflow', /\b(overflow(ed)?|overfill|spill)\b/],
  ['method', /\b(method|how)\b/],
  ['type', /^(type|event type|event|evt|activity|action|entry|kind|code|line type|rec type|record type)$/],
  [
    'record',
    /^(record|rec|rec no|record no|seq|seq no|no|num|number|id|drop no|drop|drop id|evt no|event no)$/,
  ],
  ['date', /\b(date|day|dt)\b/],
  ['moment', /\b(timestamp|datetime|date time|when)\b/],
  ['time', /\b(time|hhmm|hr|hour|clock|local|utc|zulu|z|l)\b/],
]

const unitWords: readonly (readonly [Unit, RegExp])[] = [
  ['gal_imp', /\b(imp|imperial|uk) ?gal|\bigal\b/],
  ['gal_us', /\b(gal|gals|gallons|usg|us gal)\b/],
  ['hL', /\bhl\b|hectolit/],
  ['L', /\b(l|lt|ltrs?|litres?|liters?)\b/],
  ['lb', /\b(lb|lbs|pounds?)\b/],
  ['kg', /\b(kg|kgs|kilos?)\b/],
  ['km/h', /\b(km h|kmh|kph)\b/],
  ['mph', /\bmph\b/],
  ['kt', /\b(kt|kts|knots?)\b/],
  ['ft', /\b(ft|feet)\b/],
  ['m', /\b(m|mtrs?|metres?|meters?)\b/],
  ['min', /\b(min|mins|minutes?)\b/],
  ['s', /\b(s|sec|secs|seconds?)\b/],
]

/** A header in lower case, with single spaces for everything but letters and digits; `DropTime` is two words. */
export function headerText(header: string): string {
  return header
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()
}

export function meaningOf(header: string): Meaning | null {
  const text = headerText(header)
  return headerWords.find(([, words]) => words.test(text))?.[0] ?? null
}

/** The unit that a header names, among those that may stand there. */
export function unitIn(header: string, among: readonly Unit[]): Unit | null {
  const text = headerText(header)
  return unitWords.find(([unit, words]) => among.includes(unit) && words.test(text))?.[0] ?? null
}

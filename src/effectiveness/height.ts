/** A published lowest height for drops of one class of airtanker, ft. */
export interface HeightRule {
  rule: 'single-engine' | 'large' | 'very-large'
  minimum_ft: number
  text: string
  /** Class as people write it, small letters and digits only. */
  classes: readonly string[]
}

export const heightRules: readonly HeightRule[] = [
  {
    rule: 'single-engine',
    minimum_ft: 60,
    text: 'the minimum of 60 ft for single-engine airtankers (Interagency SEAT Operations Guide, p. 29)',
    classes: ['seat', 'singleengine', 'singleengineairtanker'],
  },
  {
    rule: 'large',
    minimum_ft: 150,
    text: 'the minimum of 150 ft for large airtankers (NWCG Standards for Aerial Supervision, PMS 505; from memory)',
    classes: ['lat', 'large', 'largeairtanker'],
  },
  {
    rule: 'very-large',
    minimum_ft: 250,
    text: 'the minimum of 250 ft for very large airtankers (NWCG Standards for Aerial Supervision, PMS 505; from memory)',
    classes: ['vlat', 'verylarge', 'verylargeairtanker'],
  },
]

/** Classes to which the formula does not apply, or of which it is not known that it does. */
const withoutFormula = ['seat', 'singleengine', 'singleengineairtanker', 'light', 'helicopter', 'helitanker']

const list = (texts: readonly string[]): string => texts.map((text) => `'${text}'`).join(', ')

const lowDrops = (source: string): string => `
  WITH flown AS (
    SELECT d."drop", d.dropped_at, d.operating_day, d.season, d.aircraft, d.class, d.tank, d.base, d.fire, d.fluid, d.height_ft,
      d.volume_gal, k.flow, k.peak_flow_gal_s, regexp_replace(lower(d.class), '[^a-z0-9]', '', 'g') AS class_word
    FROM ${source} d LEFT JOIN account.tank k ON k.tank = d.tank
    WHERE d.height_ft IS NOT NULL AND d.purpose = 'fire'),
  ruled AS (
    SELECT f.*, r.rule, r.minimum_ft, r.rule_text FROM flown f JOIN (VALUES
${heightRules
  .flatMap((one) =>
    one.classes.map((word) => `      ('${word}', '${one.rule}', ${one.minimum_ft}::DOUBLE, '${one.text}')`),
  )
  .join(',\n')}) AS r(word, rule, minimum_ft, rule_text) ON r.word = f.class_word
    UNION ALL
    SELECT *, 'formula', effectiveness.safe_height_ft(volume_gal, peak_flow_gal_s),
      'the safe drop height by volume and peak flow (USDA Forest Service, 0057-2317-MTDC, 2000)'
    FROM flown WHERE flow = 'gravity' AND volume_gal IS NOT NULL AND peak_flow_gal_s IS NOT NULL AND class_word NOT IN (${list(withoutFormula)}))
  SELECT * EXCLUDE (class_word) FROM ruled WHERE height_ft < minimum_ft - 0.5`

/**
 * Safe drop height of fixed-wing airtankers, ft: 101 + 0.0112 · L + 0.0202 · P + 50 for L gal released at a peak flow of P gal/s; the 50
 * is a safety factor. Not for constant-flow tanks, not for single-engine airtankers. Source: USDA Forest Service, Safe Drop Height for
 * Fixed-Wing Airtankers, 0057-2317-MTDC, March 2000. Half a foot is left for heights that came in metres.
 */
export const heightSql = `
CREATE OR REPLACE MACRO effectiveness.safe_height_ft(released_gal, peak_gal_s) AS
  101 + 0.0112 * released_gal + 0.0202 * peak_gal_s + 50;

CREATE OR REPLACE VIEW effectiveness.low_drop AS ${lowDrops('answers."drop"')};
-- Those of some aircraft, from an operating day on; NULL for all.
CREATE OR REPLACE MACRO effectiveness.low_drops_of(of_aircraft, from_day) AS TABLE ${lowDrops(`(
      SELECT a.*, l.height_ft, c.class FROM account."drop" a
      JOIN (FROM ledger."drop" WHERE height_ft IS NOT NULL AND (of_aircraft IS NULL OR list_contains(of_aircraft, aircraft))
        AND (from_day IS NULL OR dropped_at >= from_day - INTERVAL 2 DAY)) l ON l."drop" = a."drop"
      LEFT JOIN account.aircraft c ON c.aircraft = a.aircraft
      WHERE (of_aircraft IS NULL OR list_contains(of_aircraft, a.aircraft)) AND (from_day IS NULL OR a.operating_day >= from_day))`)};
`

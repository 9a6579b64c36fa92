import { quote } from '../values/sql/write.ts'

/** How sure a cell of the published table is: its text was read, or it is believed right from memory. */
export type Mark = 'read' | 'from memory'

export interface FuelRow {
  /** 1978 National Fire Danger Rating System models; a letter may stand in two rows. */
  nfdrs: readonly string[]
  /** Fire behavior model, 1 to 13. */
  fb: number
  description: string
  /** US gal per 100 sq ft. */
  level: number
  /** "Greater than" the level. */
  isOpenEnded: boolean
  mark: Mark
  /** The same fuel in other words. */
  words: readonly string[]
}

const row = (
  nfdrs: string,
  fb: number,
  description: string,
  level: string,
  mark: Mark,
  words = '',
): FuelRow => ({
  nfdrs: [...nfdrs],
  fb,
  description,
  level: Number(level.replace('>', '')),
  isOpenEnded: level.startsWith('>'),
  mark,
  words: words ? words.split(', ') : [],
})

/**
 * Retardant coverage levels needed for specific fuel models, as printed in the drop guides of the USDA Forest Service, Missoula
 * Technology and Development Center (Table 1), for average fire intensity. The cell of southern rough is blank in the copies that
 * were read: 6 is from memory, and 4 is possible. The letters F and O stand in two rows each, so a letter alone gives a range.
 */
export const fuelTable: readonly FuelRow[] = [
  row(
    'ALS',
    1,
    'annual and perennial western grasses; tundra',
    '1',
    'read',
    'western grasses, western grass',
  ),
  row('C', 2, 'conifer with grass', '2', 'read'),
  row('HR', 8, 'shortneedle closed conifer; summer hardwood', '2', 'read'),
  row('EPU', 9, 'longneedle conifer; fall hardwood', '2', 'read'),
  row('T', 2, 'sagebrush with grass', '2', 'read', 'sagebrush'),
  row('N', 3, 'sawgrass', '2', 'read'),
  row('F', 5, 'intermediate brush (green)', '3', 'read', 'green brush'),
  row('K', 11, 'light slash', '3', 'read'),
  row('G', 10, 'shortneedle conifer (heavy dead litter)', '4', 'read'),
  row('O', 4, 'southern rough', '6', 'from memory'),
  row(
    'FQ',
    6,
    'intermediate brush (cured); Alaska black spruce',
    '6',
    'from memory',
    'cured brush, black spruce',
  ),
  row(
    'BO',
    4,
    'California mixed chaparral; high pocosin',
    '>6',
    'from memory',
    'chaparral, mixed chaparral, pocosin',
  ),
  row('J', 12, 'medium slash', '>6', 'from memory'),
  row('I', 13, 'heavy slash', '>6', 'from memory'),
]

/**
 * Words for a whole group of fuels, with the fire behavior models that they cover: the groups of Anderson, Aids to Determining Fuel
 * Models for Estimating Fire Behavior (USDA Forest Service, GTR INT-122, 1982), from memory. They give a range, not a level.
 */
export const fuelGroups: Readonly<Record<string, readonly number[]>> = {
  grass: [1, 3],
  'grass shrub': [2],
  brush: [4, 5, 6],
  shrub: [4, 5, 6],
  'timber litter': [8, 9],
  'timber understory': [10],
  timber: [8, 9, 10],
  slash: [11, 12, 13],
}

/** Text of a fuel without case, punctuation and the words that only say which system it is of: `NFDRS Model C (FB 2)` → `c 2`. */
export const fuelKeySql = (text: string): string =>
  `trim(regexp_replace(regexp_replace(regexp_replace(regexp_replace(lower(${text}), '[^a-z0-9]+', ' ', 'g'),
    '([a-z])([0-9])', '\\1 \\2', 'g'), '\\b(nfdrs|nffl|fbps|fb|fm|fuel|model)\\b', ' ', 'g'), ' +', ' ', 'g'))`

function keysOf(one: FuelRow): string[] {
  const pieces = [one.description, ...one.description.split(';'), ...one.words]
  return [...pieces, ...one.nfdrs, `${one.fb}`, ...one.nfdrs.map((letter) => `${letter} ${one.fb}`)]
}

/** The table and its keys as SQL; a key that fits several rows gives the range of them. */
export const fuelSql = `
CREATE OR REPLACE MACRO effectiveness.fuel_key(written) AS ${fuelKeySql('written')};
CREATE OR REPLACE VIEW effectiveness.fuel_row AS SELECT * FROM (VALUES
${fuelTable
  .map(
    (one, index) =>
      `  (${index}, [${one.nfdrs.map(quote).join(', ')}], ${one.fb}, ${quote(one.description)}, ${one.level}::DOUBLE, ${one.isOpenEnded}, ${quote(one.mark)})`,
  )
  .join(',\n')}) AS t(row_no, nfdrs, fb, description, coverage_level, is_open_ended, mark);
CREATE OR REPLACE VIEW effectiveness.fuel_recommendation AS
  WITH said(written, row_no, basis) AS (VALUES
${[
  ...fuelTable.flatMap((one, index) => keysOf(one).map((key) => `(${quote(key)}, ${index}, 'row')`)),
  ...Object.entries(fuelGroups).flatMap(([word, models]) =>
    fuelTable.flatMap((one, index) =>
      models.includes(one.fb) ? [`(${quote(word)}, ${index}, 'group')`] : [],
    ),
  ),
].join(',\n')}),
  keyed AS (SELECT DISTINCT effectiveness.fuel_key(written) AS fuel_key, row_no, basis FROM said),
  ranged AS (
    SELECT fuel_key, max(basis) AS basis, min(coverage_level) AS low, max(coverage_level) AS high,
      bool_or(is_open_ended) AS is_high_open, bool_and(is_open_ended) AS is_low_open,
      CASE WHEN bool_or(mark = 'from memory') THEN 'from memory' ELSE 'read' END AS mark,
      string_agg(DISTINCT description, ' | ' ORDER BY description) AS rows_named, count(*) AS rows_found
    FROM keyed JOIN effectiveness.fuel_row USING (row_no) GROUP BY fuel_key)
  SELECT fuel_key, CASE WHEN rows_found = 1 THEN 'one row' ELSE 'several rows' END
      || CASE WHEN basis = 'row' THEN '' ELSE ', by group of fuels' END AS basis,
    low, high, is_high_open, mark, rows_named,
    CASE WHEN low = high AND is_low_open = is_high_open THEN CASE WHEN is_low_open THEN '>' ELSE '' END || low::INTEGER
      ELSE low::INTEGER || ' to ' || CASE WHEN is_high_open THEN '>' ELSE '' END || high::INTEGER END AS recommended
  FROM ranged;
CREATE OR REPLACE VIEW effectiveness.fire_fuel AS
  SELECT f.number, f.season, r.fuel FROM account.fire f
  JOIN obs.fire r ON r.number = f.number AND r.fate = 'accepted' AND r.started_at IS NOT DISTINCT FROM f.started_at
  QUALIFY row_number() OVER (PARTITION BY f.number, f.season ORDER BY r.obs_no DESC) = 1;
`

import { Z_95 } from '../statistics/index.ts'
import { studentPoints as points } from './student-points.ts'

/** Degrees of freedom up to which the points of Student's t are listed; beyond, the expansion is exact to 1e-9. */
const listed = points.length

/**
 * Intervals of the statistics room as SQL, so that an answer is one statement whatever it is filtered by.
 * `student_975(df)`: two-sided 95 % point of Student's t for whole degrees of freedom, NULL under 1. Listed to 120; beyond by the
 * expansion in 1/df of Hill (Algorithm 396, Communications of the ACM 13, 1970; from memory).
 * `wilson_low/high(count, of)`: Wilson score interval (Wilson 1927), NULL for nothing observed.
 * `newcombe_low/high(count1, of1, count2, of2)`: of the difference p1 - p2 (Newcombe 1998, method 10).
 */
export const intervalMacros = `
CREATE OR REPLACE MACRO effectiveness.student_975(df) AS CASE
  WHEN df IS NULL OR df < 1 THEN NULL
  WHEN df <= ${listed} THEN [${points.join(', ')}][df::INTEGER]
  ELSE ${Z_95} + ${(Z_95 ** 3 + Z_95) / 4} / df::DOUBLE
    + ${(5 * Z_95 ** 5 + 16 * Z_95 ** 3 + 3 * Z_95) / 96} / power(df, 2)
    + ${(3 * Z_95 ** 7 + 19 * Z_95 ** 5 + 17 * Z_95 ** 3 - 15 * Z_95) / 384} / power(df, 3)
    + ${(79 * Z_95 ** 9 + 776 * Z_95 ** 7 + 1482 * Z_95 ** 5 - 1920 * Z_95 ** 3 - 945 * Z_95) / 92160} / power(df, 4) END;
CREATE OR REPLACE MACRO effectiveness.wilson_half(k, n) AS
  ${Z_95} / (1 + ${Z_95 ** 2} / n) * sqrt((k / n) * (1 - k / n) / n + ${Z_95 ** 2} / (4 * n * n));
CREATE OR REPLACE MACRO effectiveness.wilson_center(k, n) AS
  (k / n + ${Z_95 ** 2} / (2 * n)) / (1 + ${Z_95 ** 2} / n);
CREATE OR REPLACE MACRO effectiveness.wilson_low(counted, total) AS CASE WHEN total = 0 OR total IS NULL THEN NULL
  WHEN counted = 0 THEN 0::DOUBLE
  ELSE least(counted / total::DOUBLE, greatest(0, effectiveness.wilson_center(counted::DOUBLE, total::DOUBLE)
    - effectiveness.wilson_half(counted::DOUBLE, total::DOUBLE))) END;
CREATE OR REPLACE MACRO effectiveness.wilson_high(counted, total) AS CASE WHEN total = 0 OR total IS NULL THEN NULL
  WHEN counted = total THEN 1::DOUBLE
  ELSE greatest(counted / total::DOUBLE, least(1, effectiveness.wilson_center(counted::DOUBLE, total::DOUBLE)
    + effectiveness.wilson_half(counted::DOUBLE, total::DOUBLE))) END;
CREATE OR REPLACE MACRO effectiveness.newcombe_low(k1, n1, k2, n2) AS CASE WHEN n1 > 0 AND n2 > 0 THEN
  greatest(-1, k1 / n1::DOUBLE - k2 / n2::DOUBLE - sqrt(
    power(k1 / n1::DOUBLE - effectiveness.wilson_low(k1, n1), 2) + power(effectiveness.wilson_high(k2, n2) - k2 / n2::DOUBLE, 2))) END;
CREATE OR REPLACE MACRO effectiveness.newcombe_high(k1, n1, k2, n2) AS CASE WHEN n1 > 0 AND n2 > 0 THEN
  least(1, k1 / n1::DOUBLE - k2 / n2::DOUBLE + sqrt(
    power(effectiveness.wilson_high(k1, n1) - k1 / n1::DOUBLE, 2) + power(k2 / n2::DOUBLE - effectiveness.wilson_low(k2, n2), 2))) END;
`

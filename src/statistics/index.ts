/** Pure statistics: numbers in, numbers out. */
export { type ChangePoint, changePoint } from './change-point.ts'
export {
  type EwmaChart,
  ewmaChart,
  type IndividualsChart,
  individualsChart,
  type ProportionsChart,
  proportionsChart,
} from './control-charts.ts'
export { poissonExact, poissonRate, poissonRateByar, poissonRateScore } from './counts.ts'
export {
  betaQuantile,
  chiSquaredQuantile,
  gammaCdf,
  gammaQuantile,
  normalCdf,
  normalDensity,
  normalQuantile,
  studentCdf,
  studentQuantile,
  Z_95,
} from './distributions.ts'
export {
  DRIFT_DEFAULTS,
  type DriftAlarm,
  type DriftChart,
  type DriftOptions,
  driftChart,
  stableMoments,
} from './drift.ts'
export { type HuberFit, huberRegression } from './huber.ts'
export { type LeastSquaresFit, leastSquares } from './least-squares.ts'
export { fitLine, type LineFit, lineIntervals } from './line.ts'
export { type MeanInterval, meanDifference, meanInterval, meanIntervalFrom } from './mean-interval.ts'
export { lag1Autocorrelation, mean, sampleSd, squaredDeviations } from './moments.ts'
export {
  accumulate,
  firstPassageDays,
  passageDays,
  passagePerPath,
  shareReached,
  type UsagePaths,
  useByDay,
} from './passage.ts'
export {
  agrestiCaffoDifference,
  clopperPearson,
  type Estimate,
  newcombeDifference,
  wilson,
  zOf,
} from './proportions.ts'
export {
  MAD_TO_SD,
  median,
  medianAbsoluteDeviation,
  type QuantileType,
  quantile,
  quantileSorted,
  quantiles,
  weightedQuantile,
} from './quantiles.ts'
export { type Random, random } from './random.ts'
export {
  betaInterval,
  cramerVonMises,
  fitPowerLaw,
  laplaceTrend,
  mtbfInterval,
  type PowerLawFit,
} from './repairable.ts'
export { crpsEnsemble, crpsNormal, intervalCredit, pinballLoss } from './scores.ts'
export { stableDot, stableSum } from './sums.ts'
export { type TheilSenFit, theilSen } from './theil-sen.ts'
export { type RowEffect, type TwoWayFit, twoWayFit } from './two-way.ts'
export {
  type ActiveCells,
  type ActiveDays,
  activeDays,
  courseOf,
  coursePassageDays,
  coursePassages,
  courseUseByDay,
  courseUses,
  meanCourseUse,
  onActiveDays,
  passageDaysAt,
  type UsageCourse,
} from './usage-course.ts'
export type { PlanOptions } from './usage-futures.ts'
export type { UsageHistory } from './usage-history.ts'
export { fitUsage, type UsageModel } from './usage-model.ts'
export { planActive, planUsage, type UsagePlan } from './usage-paths.ts'

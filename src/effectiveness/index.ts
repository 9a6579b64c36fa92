export { assess } from './assess.ts'
export { prepareProductivity } from './productivity.ts'
export { schemaSql } from './schema.ts'
export { prepareSeasons } from './seasons.ts'

import { findingView } from '../account/finding-view.ts'
import { schemaSql as accountSchema } from '../account/schema.ts'
import { schemaSql as contractsSchema } from '../contracts/schema.ts'
import { schemaSql as effectivenessSchema } from '../effectiveness/schema.ts'
import { schemaSql as intakeSchema } from '../intake/schema.ts'
import { schemaSql as maintenanceSchema } from '../maintenance/schema.ts'
import { schemaSql as matchingSchema } from '../matching/schema.ts'
import { valueMacros } from '../values/index.ts'

/** Schemas with a table `finding` (see `findingView`): a room that finds something names its own here. */
const findingSchemas = ['obs', 'ledger', 'account', 'maintenance', 'contracts', 'effectiveness'] as const

declare const __MAKERS__: string

/** Names the code that makes the account (see `build.mjs`): what other code made is made again. */
const makers = typeof __MAKERS__ === 'string' ? __MAKERS__ : 'from source'

/** What every warehouse is made of, in the order in which rooms build on one another. */
export const fullSchema: readonly string[] = [
  'CREATE SCHEMA IF NOT EXISTS val;',
  valueMacros.map((macro) => `${macro};`).join('\n'),
  intakeSchema,
  matchingSchema,
  accountSchema,
  effectivenessSchema,
  maintenanceSchema,
  contractsSchema,
  findingView(findingSchemas),
  `-- ${makers}`,
]

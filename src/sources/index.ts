export { canonicalProfiles } from './canonical-profiles.ts'
export { draftProfile } from './draft-profile.ts'
export { type Discovered, discover, type FoundFile } from './found-file.ts'
export { findHeader, headerKey } from './header.ts'
export { isKept, keepBytes, rawLineAt, readKept, restoreKept } from './kept-bytes.ts'
export type { Landing, Recognized } from './landing.ts'
export { loadProfiles } from './load-profiles.ts'
export { parseProfile } from './parse-profile.ts'
export { prepare } from './prepare.ts'
export { isProblem, type SourceProblem } from './problem.ts'
export type {
  Encoding,
  Format,
  IssuedAt,
  Profile,
  ProfileField,
  ProfileRecord,
  Where,
  ZoneRule,
} from './profile.ts'
export { profileJsonSchema, profileSchemaText } from './profile-schema.ts'
export { recognize, usedHeaders } from './recognize.ts'
export { foundFile } from './row-landing.ts'

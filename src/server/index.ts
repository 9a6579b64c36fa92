export { type Account, Accounts, hashPassword, type Role } from './accounts.ts'
export { type Amendment, type AmendmentAction, amendmentSchema } from './amendment.ts'
export { createApp } from './app.ts'
export { Changes } from './changes.ts'
export type { ReceivedFile, ServerDeps, ServerEnv } from './deps.ts'
export { isLoopback } from './guard.ts'
export { type Listening, listen } from './listen.ts'
export { openApiDocument } from './openapi.ts'
export { RequestRefused } from './problem.ts'
export {
  type CommandRequest,
  type CommandRunner,
  type CommandSinks,
  RelayFailed,
  readServerInfo,
  relayTo,
  removeServerInfo,
  type ServerInfo,
  writeServerInfo,
} from './relay.ts'

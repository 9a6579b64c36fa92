export { type Account, Accounts, hashPassword, type Role, type ServerEnv } from './accounts.ts'
export { type Amendment, type AmendmentAction, amendmentSchema } from './amendment.ts'
export { createApp } from './app.ts'
export { Changes } from './changes.ts'
export type { CommandRequest, CommandRunner, CommandSinks } from './command-runner.ts'
export type { ReceivedFile, ServerDeps } from './deps.ts'
export { isLoopback } from './guard.ts'
export { type Listening, listen } from './listen.ts'
export { openApiDocument } from './openapi.ts'
export { RequestRefused } from './problem.ts'
export {
  RelayFailed,
  readServerInfo,
  relayTo,
  removeServerInfo,
  type ServerInfo,
  writeServerInfo,
} from './relay.ts'

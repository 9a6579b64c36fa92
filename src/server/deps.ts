import type { Catalogue } from '../catalogue/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Accounts } from './accounts.ts'
import type { Amendment } from './amendment.ts'
import type { Changes } from './changes.ts'
import type { CommandRunner } from './command-runner.ts'
import type { ReportFormat } from './report-formats.ts'

/** A file as it came over the wire. */
export type ReceivedFile = { name: string; bytes: Uint8Array }

/** Everything that the server reaches; it knows nothing of how any of it is done. */
export type ServerDeps = {
  catalogue: Catalogue
  warehouse: Warehouse
  /** Changes exactly when the records do. */
  fingerprint: () => Promise<string>
  status: () => Promise<Readonly<Record<string, unknown>>>
  /** Everything behind one record, or null when there is no such record. */
  evidence: (kind: string, id: string) => Promise<unknown | null>
  /** What a record that is not there may be called now. */
  nearRecord?: (kind: string, id: string) => Promise<string | null>
  /** Takes files in and brings every answer up to date; the answer is what `ingest --json` prints. */
  ingest: (files: readonly ReceivedFile[]) => Promise<unknown>
  /** Records an amendment and brings every answer up to date. @throws RequestRefused. */
  amend: (amendment: Amendment) => Promise<unknown>
  /** Printable reports. `make` throws RequestRefused, or QueryProblem when a param makes no sense. */
  reports?: {
    kinds: readonly string[]
    make: (
      kind: string,
      format: ReportFormat,
      params: Readonly<Record<string, string>>,
    ) => Promise<Uint8Array | string>
  }
  /** Runs a command line for another process of this machine; needs `token`. */
  commands?: CommandRunner
  token?: string
  /** The built pages; null where there are none. */
  assetsFolder: string | null
  /** Who may come in; null: everybody who reaches the loopback address. */
  accounts?: Accounts | null
  /** Names that this server answers to, besides those of the loopback address. */
  hosts?: readonly string[]
  changes?: Changes
  log?: (line: string) => void
  today?: () => string
  version?: string
  largestUploadBytes?: number
}

import type { FoundFile, Recognized } from '../sources/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** What is put on record about a file that arrived. */
export interface FileFacts {
  fileNo: number
  file: FoundFile
  now: Date
  recognized?: Recognized
  layoutNo?: number
  sha256?: string
  rows?: number
  sameAs?: number | null
  problem?: string
}

/** @param shown how a path is called on record. */
export async function writeFiles(
  warehouse: Warehouse,
  facts: readonly FileFacts[],
  shown: (path: string) => string,
): Promise<void> {
  const none = facts.map(() => 0)
  await warehouse.append('raw.file', {
    file_no: facts.map((one) => one.fileNo),
    path: facts.map((one) => shown(one.file.path)),
    sha256: facts.map((one) => one.sha256 ?? ''),
    bytes: facts.map((one) => one.file.bytes),
    profile: facts.map((one) => one.recognized?.profile.name ?? null),
    layout_no: facts.map((one) => one.layoutNo ?? null),
    same_as: facts.map((one) => one.sameAs ?? null),
    header_line: facts.map((one) => one.recognized?.headerLine ?? null),
    arrived_at: facts.map((one) => one.now.getTime()),
    issued_at: facts.map((one) => one.recognized?.issuedAt ?? null),
    is_whole: facts.map((one) => one.recognized?.profile.sends === 'whole'),
    read: facts.map((one) => one.rows ?? 0),
    accepted: none,
    duplicate: none,
    superseded: none,
    quarantined: none,
    ignored: none,
    problem: facts.map((one) => (one.problem ? shown(one.problem) : null)),
  })
}

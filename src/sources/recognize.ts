import { basename, dirname, isAbsolute, relative, resolve } from 'node:path'
import type { FoundFile } from './found-file.ts'
import { headerKey, repeatedHeaders, tidyHeader } from './header.ts'
import { issuedAtOf } from './issued-at.ts'
import type { Recognized } from './landing.ts'
import { headerRow, Peek, type View, type ViewRow } from './peek.ts'
import { orProblem, problem, type SourceProblem, SourceTrouble } from './problem.ts'
import type { Profile } from './profile.ts'
import { unknownHeaders } from './unknown-headers.ts'

interface Fit {
  profile: Profile
  view: View
  row: ViewRow
}

/**
 * Which profile a file belongs to, by its headers: all signature headers must be there, in any order, letter case
 * and spaces do not matter. The profile with more of them wins, at equal count a written profile before a built-in
 * one; among built-in ones the kind that explains more of the headers. A tie is a problem that names both.
 */
export function recognize(
  file: FoundFile,
  profiles: readonly Profile[],
): Promise<Recognized | SourceProblem> {
  return orProblem(file.path, async () => {
    const peek = await Peek.at(file)
    const fits = profiles.flatMap((profile) => fitOf(peek, profile) ?? [])
    const best = bestFit(file, fits)
    if (best === null) throw new SourceTrouble(unknownHeaders(file, peek, profiles))
    return recognized(file, peek, best)
  })
}

/** Of the delimiters that show the signature, the one that shows the most headers. */
function fitOf(peek: Peek, profile: Profile): Fit | null {
  let fit: Fit | null = null
  for (const view of peek.views(profile)) {
    const at =
      view.container === 'xlsx'
        ? profile.xlsx.headerRow
        : profile.csv.skip === null
          ? null
          : profile.csv.skip + 1
    const row = headerRow(view, profile.headers, view.container === 'jsonl' ? null : at)
    if (row && row.keys.size > (fit?.row.keys.size ?? 0)) fit = { profile, view, row }
  }
  return fit
}

function signature(profile: Profile | undefined): number {
  return profile === undefined ? 0 : new Set(profile.headers.map(headerKey)).size
}

function bestFit(file: FoundFile, fits: readonly Fit[]): Fit | null {
  const written = best(
    fits.filter(({ profile }) => !profile.isCanonical),
    ({ profile }) => signature(profile),
  )
  const builtIn = best(
    fits.filter(({ profile }) => profile.isCanonical),
    (fit) => explained(fit) + (isNamedAfter(file, fit.profile) ? 0.5 : 0),
  )
  const isWritten = written.length > 0 && signature(written[0]!.profile) >= signature(builtIn[0]?.profile)
  const winners = isWritten ? nearby(file, written) : builtIn
  if (winners.length > 1) throw new SourceTrouble(tie(file, winners))
  return winners[0] ?? null
}

function best(fits: readonly Fit[], score: (fit: Fit) => number): Fit[] {
  const top = Math.max(...fits.map(score))
  return fits.filter((fit) => score(fit) === top)
}

/**
 * Of equal ones, those at home around the file, if any: a profile in `north/profiles/` is at home in `north/`, any
 * other everywhere. So the profiles of two folders do not get into each other's way.
 */
function nearby(file: FoundFile, fits: readonly Fit[]): readonly Fit[] {
  const home = fits.filter(({ profile }) => {
    if (profile.path === null || basename(dirname(profile.path)) !== 'profiles') return true
    const inside = relative(dirname(dirname(resolve(profile.path))), resolve(file.path))
    return !inside.startsWith('..') && !isAbsolute(inside)
  })
  return home.length > 0 ? home : fits
}

/** How many headers of the file a built-in profile knows. */
function explained({ profile, row }: Fit): number {
  return profile.records[0]!.fields.filter((field) => row.keys.has(headerKey(field.from[0]!))).length
}

/** `drop.csv`, `drop-2026-07.csv`: a name that says the kind decides between kinds that fit equally. */
function isNamedAfter(file: FoundFile, profile: Profile): boolean {
  const kind = profile.records[0]!.kind
  const name = basename(file.path).toLowerCase()
  return name.startsWith(kind) && !/[a-z]/.test(name[kind.length] ?? '')
}

function tie(file: FoundFile, winners: readonly Fit[]): SourceProblem {
  const names = winners.map(({ profile }) => `'${profile.name}'`).join(' and ')
  const fix = 'add a header to the signature of the right one that the other does not have'
  return problem(file.path, `two profiles fit equally: ${names}`, fix, winners[0]!.row.line || null)
}

function recognized(file: FoundFile, peek: Peek, { profile, view, row }: Fit): Recognized {
  const header = view.container === 'jsonl' ? [...row.cells] : row.cells.map(tidyHeader)
  const twice = view.container === 'jsonl' ? [] : repeatedHeaders(header, usedHeaders(profile))
  if (twice.length > 0) {
    const what = `the header '${twice[0]}' is there more than once, and the profile '${profile.name}' reads it`
    throw new SourceTrouble(problem(file.path, what, 'give each column its own name', row.line))
  }
  return {
    profile,
    header,
    headerLine: row.line,
    headerSpan: row.span,
    issuedAt: issuedAtOf(profile, file, view, row),
    container: view.container,
    delimiter: view.delimiter,
    encoding: view.encoding,
    isGzip: peek.isGzip,
    sheet: view.sheet,
  }
}

/** Every header that a profile reads. */
export function usedHeaders(profile: Profile): string[] {
  const used = profile.records.flatMap((record) => [
    ...record.fields.flatMap(({ from }) => from),
    ...Object.keys(record.where),
  ])
  const issued = profile.issuedAt && 'column' in profile.issuedAt ? [profile.issuedAt.column] : []
  return [...new Set([...used, ...Object.keys(profile.ignore), ...issued])]
}

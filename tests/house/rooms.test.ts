import { readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { describe, expect, test } from 'vitest'

const root = resolve(import.meta.dirname, '../..')

/** What each room may import, besides itself. Nothing else: a bent arrow fails here. */
const mayImport: Readonly<Record<string, readonly string[]>> = {
  kinds: [],
  values: [],
  statistics: [],
  warehouse: [],
  sources: ['kinds', 'values'],
  intake: ['warehouse', 'sources', 'kinds', 'values'],
  matching: ['warehouse', 'kinds', 'statistics', 'values'],
  account: ['warehouse', 'statistics', 'values'],
  maintenance: ['warehouse', 'statistics', 'values'],
  contracts: ['warehouse', 'statistics', 'values'],
  effectiveness: ['warehouse', 'statistics', 'values'],
  evidence: ['warehouse', 'sources', 'kinds'],
  catalogue: ['warehouse'],
  server: ['catalogue', 'evidence', 'warehouse'],
  report: ['catalogue', 'evidence', 'warehouse', 'dashboards'],
  commands: [
    'kinds',
    'values',
    'warehouse',
    'sources',
    'intake',
    'matching',
    'account',
    'maintenance',
    'contracts',
    'effectiveness',
    'evidence',
    'catalogue',
    'server',
    'report',
  ],
  'cli.ts': ['commands'],
  dashboards: [],
}

interface Arrow {
  from: string
  to: string
  file: string
  target: string
  /** False for types and for what is loaded only when needed. */
  isLoaded: boolean
}

function filesUnder(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name)
    if (statSync(path).isDirectory()) return filesUnder(path)
    return /\.tsx?$/.test(name) ? [path] : []
  })
}

const roomOf = (path: string): string => {
  const parts = relative(root, path).split('/')
  return parts[0] === 'src' ? parts[1]! : parts[0]!
}

const files = [...filesUnder(join(root, 'src')), ...filesUnder(join(root, 'dashboards'))]

const statement =
  /(?:^|\n)\s*(?:import|export)\s+(type\s+)?(?:[^'"`;]*?\sfrom\s+)?['"](\.[^'"]+)['"]|import\(\s*['"](\.[^'"]+)['"]/g

const arrows: Arrow[] = files.flatMap((file) =>
  [...readFileSync(file, 'utf8').matchAll(statement)].map((match) => {
    const target = resolve(dirname(file), match[2] ?? match[3]!)
    return {
      from: roomOf(file),
      to: roomOf(target),
      file: relative(root, file),
      target: relative(root, target),
      isLoaded: match[1] === undefined && match[3] === undefined,
    }
  }),
)

describe('the rooms of the house', () => {
  test('every room is on the map', () => {
    expect([...new Set(files.map(roomOf))].filter((room) => !(room in mayImport))).toEqual([])
  })

  test('the map is drawn from enough arrows to mean something', () => {
    expect(arrows.length).toBeGreaterThan(300)
  })

  test('no arrow is bent: rooms import only what they may', () => {
    const bent = arrows.filter(
      (arrow) => arrow.from !== arrow.to && !(mayImport[arrow.from] ?? []).includes(arrow.to),
    )
    expect(bent.map((arrow) => `${arrow.file} → ${arrow.target}`)).toEqual([])
  })

  test('no two files import each other in a circle, not for a type, nor late', () => {
    const next = new Map<string, string[]>()
    for (const arrow of arrows) next.set(arrow.file, [...(next.get(arrow.file) ?? []), arrow.target])
    expect(circles(next)).toEqual([])
  })

  test('only the warehouse holds a connection to the database', () => {
    const holders = files.filter(
      (file) => /from '@duckdb\/node-api'/.test(readFileSync(file, 'utf8')) && roomOf(file) !== 'warehouse',
    )
    const values = holders.filter((file) =>
      /import \{[^}]*(DuckDBInstance|DuckDBConnection)/.test(readFileSync(file, 'utf8')),
    )
    expect(values.map((file) => relative(root, file))).toEqual([])
  })

  test('the map itself has no way back', () => {
    expect(circles(new Map(Object.entries(mayImport).map(([room, others]) => [room, [...others]])))).toEqual(
      [],
    )
  })
})

/** Circles of a directed graph, each as its path. */
function circles(next: ReadonlyMap<string, readonly string[]>): string[] {
  const found: string[] = []
  const state = new Map<string, 'open' | 'done'>()
  const visit = (node: string, path: readonly string[]): void => {
    if (state.get(node) === 'done') return
    if (state.get(node) === 'open') {
      found.push([...path.slice(path.indexOf(node)), node].join(' → '))
      return
    }
    state.set(node, 'open')
    for (const other of next.get(node) ?? []) visit(other, [...path, node])
    state.set(node, 'done')
  }
  for (const node of next.keys()) visit(node, [])
  return found
}

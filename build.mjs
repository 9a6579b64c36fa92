// Builds dist/: the command line (split by verb, so that a command loads only what it needs) and the pages.
import { createHash } from 'node:crypto'
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { build } from 'esbuild'

const { version, dependencies } = JSON.parse(readFileSync('package.json', 'utf8'))
// The database's JavaScript goes into the build, one file instead of many to read at every start; its native part cannot.
const external = [
  ...Object.keys(dependencies).filter((name) => name !== '@duckdb/node-api'),
  '@duckdb/node-bindings',
]
rmSync('dist', { recursive: true, force: true })
mkdirSync('dist/dashboards', { recursive: true })

await build({
  // What a thread begins with stands beside the command line.
  entryPoints: { cli: 'src/cli.ts', 'hand-thread': 'src/matching/hand-thread.ts' },
  outdir: 'dist',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  external,
  minifySyntax: true,
  minifyWhitespace: true,
  banner: {
    js: "#!/usr/bin/env node\nimport { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
  },
  define: { __VERSION__: JSON.stringify(version), __MAKERS__: JSON.stringify(makers()) },
  sourcemap: false,
  logLevel: 'warning',
})
chmodSync('dist/cli.js', 0o755)

if (existsSync('dashboards/main.ts')) {
  const pages = await build({
    entryPoints: { main: 'dashboards/main.ts' },
    metafile: true,
    outdir: 'dist/dashboards',
    bundle: true,
    splitting: true,
    minify: true,
    format: 'esm',
    platform: 'browser',
    target: 'es2022',
    logLevel: 'warning',
    loader: { '.json': 'json' },
  })
  cpSync('dashboards/style.css', 'dist/dashboards/style.css')
  // What the first page needs is named in the document, so that all of it comes at once.
  const early = neededBy(pages.metafile, [
    'dashboards/main.ts',
    'dashboards/pages/season.ts',
    'dashboards/pages/season-drawings.ts',
  ])
  const links = early.map((name) => `<link rel="modulepreload" href="${name}" />`).join('\n    ')
  const document = readFileSync('dashboards/index.html', 'utf8')
  writeFileSync('dist/dashboards/index.html', document.replace('<!-- scripts -->', links))
}

/** The scripts that hold these modules and all that those import, without the entry itself. */
function neededBy(metafile, entries) {
  const outputs = Object.entries(metafile.outputs)
  const found = new Set()
  const add = (path) => {
    if (found.has(path)) return
    found.add(path)
    for (const one of metafile.outputs[path].imports) if (one.kind === 'import-statement') add(one.path)
  }
  for (const entry of entries) add(outputs.find(([, output]) => output.entryPoint === entry)[0])
  return [...found].map((path) => path.replace('dist/dashboards/', '')).filter((name) => name !== 'main.js')
}

/** A hash of the code that makes observations and the account out of raw rows. A warehouse that other code made is made again. */
function makers() {
  const showing = ['catalogue', 'commands', 'evidence', 'report', 'server'].map((room) => `src/${room}/`)
  const files = ['src', 'queries']
    .flatMap((top) => readdirSync(top, { recursive: true }).map((path) => `${top}/${path}`))
    .filter(
      (path) =>
        /\.(ts|sql)$/.test(path) && ![...showing, 'queries/answers/'].some((one) => path.startsWith(one)),
    )
    .sort()
  const hash = createHash('sha256')
  for (const path of files) hash.update(`${path}\n${readFileSync(path, 'utf8')}\n`)
  return hash.digest('hex').slice(0, 16)
}

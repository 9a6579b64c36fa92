// Builds dist/: the command line (split by verb, so that a command loads only what it needs) and the pages.
import { chmodSync, cpSync, existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
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
  entryPoints: { cli: 'src/cli.ts' },
  outdir: 'dist',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  external,
  banner: {
    js: "#!/usr/bin/env node\nimport { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
  },
  define: { __VERSION__: JSON.stringify(version) },
  sourcemap: false,
  logLevel: 'warning',
})
chmodSync('dist/cli.js', 0o755)

if (existsSync('dashboards/main.ts')) {
  await build({
    entryPoints: { main: 'dashboards/main.ts' },
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
  for (const name of ['index.html', 'style.css', 'favicon.svg']) {
    if (existsSync(`dashboards/${name}`)) cpSync(`dashboards/${name}`, `dist/dashboards/${name}`)
  }
}

import { cpSync, mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { build } from 'esbuild'

/** Builds the pages into a folder of their own and returns it, so that a test never depends on an older build. */
export async function buildPages(): Promise<string> {
  const outdir = mkdtempSync(join(tmpdir(), 'pages-'))
  await build({
    entryPoints: { main: 'dashboards/main.ts' },
    outdir,
    bundle: true,
    splitting: true,
    minify: true,
    format: 'esm',
    platform: 'browser',
    target: 'es2022',
    logLevel: 'error',
  })
  for (const name of ['index.html', 'style.css']) cpSync(`dashboards/${name}`, join(outdir, name))
  return outdir
}

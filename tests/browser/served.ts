import { buildPages } from '../dashboards/build-pages.ts'
import { startFixture } from '../dashboards/fixture-server.ts'

export interface Served {
  readonly url: string
  close(): Promise<void>
}

/** What the pages are looked at on. Whoever has the real server with the sample season puts it in here. */
export async function startSample(): Promise<Served> {
  return startFixture(await buildPages())
}

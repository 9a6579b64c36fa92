import type { AddressInfo } from 'node:net'
import { createAdaptorServer } from '@hono/node-server'
import type { Hono } from 'hono'
import type { Accounts, ServerEnv } from './accounts.ts'
import { isLoopback } from './guard.ts'

export type Listening = { host: string; port: number; address: string; close: () => Promise<void> }

/**
 * Opens the port (0: any that is free).
 * @throws Error with one line when the host is not this machine's own and there are no accounts, or the port is taken.
 */
export async function listen(
  app: Hono<ServerEnv>,
  options: { host: string; port: number; accounts: Accounts | null },
): Promise<Listening> {
  const { host, port, accounts } = options
  if (!isLoopback(host) && accounts === null) {
    throw new Error(
      `others could reach ${host}, so this needs accounts; give --accounts FILE, or serve on 127.0.0.1`,
    )
  }
  const server = createAdaptorServer({ fetch: app.fetch, hostname: host })
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(new Error(reasonOf(error, host, port))))
    server.listen(port, host, resolve)
  })
  const actual = (server.address() as AddressInfo).port
  const shown = host.includes(':') ? `[${host}]` : host
  return {
    host,
    port: actual,
    address: `http://${shown}:${actual}/`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        // Event streams stay open until they are told to end.
        if ('closeAllConnections' in server) server.closeAllConnections()
      }),
  }
}

function reasonOf(error: NodeJS.ErrnoException, host: string, port: number): string {
  if (error.code === 'EADDRINUSE') return `port ${port} on ${host} is in use; give another with --port`
  if (error.code === 'EACCES')
    return `port ${port} needs rights that this user lacks; give one above 1023 with --port`
  if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND')
    return `this machine has no address ${host}; check --host`
  return `the server cannot listen on ${host}:${port}: ${error.message}`
}

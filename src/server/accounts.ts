import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto'
import { readFileSync } from 'node:fs'
import type { MiddlewareHandler } from 'hono'
import { z } from 'zod'
import { problem } from './problem.ts'

export type Role = 'reader' | 'editor'
export type Account = { name: string; role: Role }

/** What a request carries once it is let in: null where the server asks for no account. */
export type ServerEnv = { Variables: { account: Account | null } }

const accountsFile = z.object({
  users: z
    .array(
      z.object({
        name: z.string().regex(/^[^\s:]{1,64}$/, 'a name has no spaces and no colon'),
        role: z.enum(['reader', 'editor']),
        password: z.string().regex(/^scrypt:\d+:\d+:\d+:[\w-]+:[\w-]+$/, 'made by hashPassword'),
      }),
    )
    .min(1),
})

type User = z.infer<typeof accountsFile>['users'][number]

/** Cost of a guess: N = 2^15, r = 8, p = 1 takes 32 MB and some tens of milliseconds (RFC 7914 §2 names the parameters). */
const cost = { N: 32_768, r: 8, p: 1 }

/** The text to put as `password` into the accounts file. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(16)
  const key = await derive(password, salt, cost)
  return `scrypt:${cost.N}:${cost.r}:${cost.p}:${salt.toString('base64url')}:${key.toString('base64url')}`
}

async function verify(password: string, stored: string): Promise<boolean> {
  const [, n, r, p, salt, key] = stored.split(':') as [string, string, string, string, string, string]
  const wanted = Buffer.from(key, 'base64url')
  const found = await derive(password, Buffer.from(salt, 'base64url'), {
    N: Number(n),
    r: Number(r),
    p: Number(p),
  })
  return wanted.length === found.length && timingSafeEqual(wanted, found)
}

function derive(password: string, salt: Buffer, { N, r, p }: typeof cost): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(password.normalize('NFKC'), salt, 32, { N, r, p, maxmem: 256 * N * r }, (error, key) =>
      error ? reject(error) : resolve(key),
    )
  })
}

const rememberedMs = 15 * 60_000
const failuresAllowed = 10
const failureWindowMs = 60_000

/** The people who may use a server that others reach, with HTTP Basic (RFC 7617). */
export class Accounts {
  readonly #users: ReadonlyMap<string, User>
  readonly #remembered = new Map<string, { account: Account; until: number }>()
  readonly #failures = new Map<string, { count: number; until: number }>()

  constructor(users: readonly User[]) {
    this.#users = new Map(users.map((user) => [user.name, user]))
  }

  /** @throws Error with one line that names the file and what is wrong in it. */
  static read(path: string): Accounts {
    let text: string
    try {
      text = readFileSync(path, 'utf8')
    } catch {
      throw new Error(`the accounts file ${path} cannot be read; make one with a user in it`)
    }
    const parsed = accountsFile.safeParse(safeJson(text))
    if (!parsed.success) {
      const [issue] = parsed.error.issues
      throw new Error(`the accounts file ${path}: ${issue!.path.join('.') || 'the file'}: ${issue!.message}`)
    }
    return new Accounts(parsed.data.users)
  }

  /** The account of a name and password; null when they do not fit; 'wait' after ten failures in a minute. */
  async find(name: string, password: string): Promise<Account | null | 'wait'> {
    const now = Date.now()
    const failures = this.#failures.get(name)
    if (failures && failures.until > now && failures.count >= failuresAllowed) return 'wait'
    const key = createHash('sha256').update(`${name}\n${password}`).digest('base64')
    const remembered = this.#remembered.get(key)
    if (remembered && remembered.until > now) return remembered.account
    const user = this.#users.get(name)
    // An unknown name costs as much time as a known one.
    const isRight = await verify(password, user?.password ?? unknownUser)
    if (user && isRight) {
      const account = { name: user.name, role: user.role }
      this.#remembered.set(key, { account, until: now + rememberedMs })
      return account
    }
    const count = failures && failures.until > now ? failures.count + 1 : 1
    if (this.#failures.size > 10_000) this.#failures.clear()
    this.#failures.set(name, { count, until: now + failureWindowMs })
    return null
  }
}

const unknownUser = `scrypt:${cost.N}:${cost.r}:${cost.p}:${'A'.repeat(22)}:${'A'.repeat(43)}`

function safeJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/** Lets known people in; readers read, editors change. */
export function accountGuard(accounts: Accounts | null): MiddlewareHandler<ServerEnv> {
  return async (c, next) => {
    c.set('account', null)
    if (accounts === null) return next()
    const credentials = basicCredentials(c.req.header('Authorization'))
    if (!credentials) return askWho('give a name and a password')
    const account = await accounts.find(credentials.name, credentials.password)
    if (account === 'wait') {
      return problem(
        429,
        { kind: 'too-many-attempts', detail: 'wait a minute, then try again' },
        { 'Retry-After': '60' },
      )
    }
    if (!account) return askWho('the name or the password is not right')
    if (account.role !== 'editor' && c.req.method !== 'GET' && c.req.method !== 'HEAD') {
      return problem(403, {
        kind: 'reader-only',
        detail: `${account.name} may read but not change; ask an editor`,
      })
    }
    c.set('account', account)
    return next()
  }
}

function askWho(detail: string): Response {
  return problem(
    401,
    { kind: 'unknown-account', detail },
    { 'WWW-Authenticate': 'Basic realm="gallonage", charset="UTF-8"' },
  )
}

function basicCredentials(header: string | undefined): { name: string; password: string } | null {
  const match = /^Basic ([A-Za-z0-9+/=]+)$/i.exec(header ?? '')
  if (!match) return null
  const text = Buffer.from(match[1]!, 'base64').toString('utf8')
  const colon = text.indexOf(':')
  return colon < 0 ? null : { name: text.slice(0, colon), password: text.slice(colon + 1) }
}

import type { OuterEffects } from '../../src/commands/effects.ts'
import { main } from '../../src/commands/main.ts'
import { fullSchema } from '../../src/commands/schema.ts'
import { Warehouse } from '../../src/warehouse/index.ts'

export interface Said {
  code: number
  out: string
  err: string
}

/** A warehouse in memory with the command line in front of it, as a user has it. */
export class House {
  readonly warehouse: Warehouse
  now = new Date('2026-07-31T12:00:00Z')

  private constructor(warehouse: Warehouse) {
    this.warehouse = warehouse
  }

  static async open(): Promise<House> {
    return new House(await Warehouse.memory(fullSchema))
  }

  async say(...argv: string[]): Promise<Said> {
    const said: Said = { code: 0, out: '', err: '' }
    const effects: OuterEffects = {
      out: (text) => {
        said.out += text
      },
      err: (text) => {
        said.err += text
      },
      outBytes: () => {},
      isTerminal: false,
      columns: 200,
      hasColor: false,
      cwd: process.cwd(),
      env: {},
      now: () => this.now,
      stopped: new Promise(() => {}),
      warehouse: this.warehouse,
    }
    said.code = await main(argv, effects, 'test')
    return said
  }

  /** The rows of a question, as `query --json` prints them. @throws when the command fails. */
  async rows<T = Record<string, unknown>>(name: string, ...params: string[]): Promise<T[]> {
    const said = await this.say('query', name, '--json', ...params.flatMap((param) => ['--param', param]))
    if (said.code !== 0) throw new Error(said.err)
    return JSON.parse(said.out) as T[]
  }

  async ingest(
    ...paths: string[]
  ): Promise<{ files: FileLine[]; totals: Omit<FileLine, 'path' | 'profile' | 'problem'> }> {
    const said = await this.say('ingest', '--json', ...paths)
    if (said.code !== 0) throw new Error(said.err)
    return JSON.parse(said.out)
  }

  close(): Promise<void> {
    return this.warehouse.close()
  }
}

export interface FileLine {
  path: string
  profile: string | null
  read: number
  accepted: number
  duplicate: number
  superseded: number
  quarantined: number
  problem?: string
}

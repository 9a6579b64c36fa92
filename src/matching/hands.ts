import { availableParallelism } from 'node:os'
import { Worker } from 'node:worker_threads'
import { type Briefing, Hand } from './hand.ts'

type Step = 'hear' | 'listen' | 'judge' | 'link'

/** A step that a thread is asked for. */
export interface Asked {
  readonly step: Step
  readonly args: readonly unknown[]
}

/** A hand, wherever it works: steps are done one after another, in the order asked for. */
export interface AnyHand {
  do<S extends Step>(step: S, ...args: Parameters<Hand[S]>): Promise<ReturnType<Hand[S]>>
  close(): Promise<void>
}

/** Each thread compiles the same code anew, a second of processor time: fewer observations than this do not repay it. */
const leastForThreads = 400_000
/** Each costs memory, and more are done before what they find is written. */
const mostThreads = 4

/** How many threads a run of so many observations is worth: all cores but the one that reads and writes; 0 for none. */
export function threadsFor(observations: number): number {
  return observations < leastForThreads ? 0 : Math.min(availableParallelism() - 1, mostThreads)
}

/** So many threads with a hand each; with none, one hand in this thread. To be closed whatever happens. */
export function openHands(threads: number, briefing: Briefing): AnyHand[] {
  if (threads === 0) return [handHere(briefing)]
  return Array.from({ length: threads }, () => new HandThread(briefing))
}

function handHere(briefing: Briefing): AnyHand {
  const hand = new Hand(briefing)
  const steps = hand as unknown as Record<Step, (...args: readonly unknown[]) => never>
  return {
    do: (step, ...args) => heeded((async () => steps[step].call(hand, ...args))()),
    close: async () => undefined,
  }
}

/** Whoever asks ahead may learn of a failure before they wait for the answer. */
function heeded<T>(answer: Promise<T>): Promise<T> {
  answer.catch(() => undefined)
  return answer
}

const isBuilt = import.meta.url.endsWith('.js')
const threadFile = new URL(isBuilt ? './hand-thread.js' : './hand-from-source.mjs', import.meta.url)
/** New objects of the hands live long enough to be moved twice unless there is room for them, MiB. */
const young = 64

class HandThread implements AnyHand {
  readonly #worker: Worker
  readonly #waiting: { resolve: (given: never) => void; reject: (error: Error) => void }[] = []
  #failure: Error | null = null

  constructor(briefing: Briefing) {
    this.#worker = new Worker(threadFile, {
      workerData: briefing,
      execArgv: [],
      resourceLimits: { maxYoungGenerationSizeMb: young },
    })
    this.#worker.on('message', (given: unknown) => this.#waiting.shift()?.resolve(given as never))
    this.#worker.on('error', (error) => this.#fail(error))
    this.#worker.on('exit', () => this.#fail(new Error('a thread ended before its work was done')))
  }

  do<S extends Step>(step: S, ...args: Parameters<Hand[S]>): Promise<ReturnType<Hand[S]>> {
    return heeded(
      new Promise<ReturnType<Hand[S]>>((resolve, reject) => {
        if (this.#failure) reject(this.#failure)
        else {
          this.#waiting.push({ resolve, reject })
          this.#worker.postMessage({ step, args } satisfies Asked)
        }
      }),
    )
  }

  async close(): Promise<void> {
    await this.#worker.terminate()
  }

  #fail(error: Error): void {
    this.#failure ??= new Error(`matching stopped, and nothing was changed: ${error.message}`, {
      cause: error,
    })
    for (const { reject } of this.#waiting.splice(0)) reject(this.#failure)
  }
}

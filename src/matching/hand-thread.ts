// A thread of its own for one hand: does each step it is asked for, in turn, and hands over what comes of it uncopied.
import { parentPort, workerData } from 'node:worker_threads'
import type { Filled } from './growing.ts'
import { type Briefing, Hand } from './hand.ts'
import type { Asked } from './hands.ts'

const hand = new Hand(workerData as Briefing)
const steps = hand as unknown as Record<
  string,
  (...args: readonly unknown[]) => Record<string, Filled | readonly number[]>
>
const port = parentPort!

port.on('message', ({ step, args }: Asked) => {
  const given = steps[step]!.call(hand, ...args)
  const arrays = Object.values(given).flatMap((one) => ('columns' in one ? Object.values(one.columns) : []))
  port.postMessage(
    given,
    arrays.map((array) => array.buffer as ArrayBuffer),
  )
})

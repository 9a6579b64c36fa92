import { EventColumns } from './event-columns.ts'
import type { Observations } from './observations.ts'

const none: readonly number[] = []

/** Events and who tells of them: what the next source is aligned against. */
export class Profile extends EventColumns {
  /** Observations that tell of the event, in the order in which they joined. */
  members: number[][] = []
  /** Observations that stand for this event and its neighbours together. */
  summaries: (readonly number[])[] = []

  override clear(): void {
    super.clear()
    this.members = []
    this.summaries = []
  }

  override insert(
    o: Observations,
    index: number,
    time: number,
    end: number,
    half: number,
    halfGal = 0,
  ): number {
    const place = super.insert(o, index, time, end, half, halfGal)
    put(this.members, place, [index])
    put(this.summaries, place, none)
    return place
  }

  override join(o: Observations, event: number, index: number, halfGal = 0): void {
    this.members[event]!.push(index)
    super.join(o, event, index, halfGal)
  }

  /** A line that stands for this event among others. */
  stand(event: number, index: number): void {
    this.summaries[event] = [...this.summaries[event]!, index]
  }
}

function put<T>(list: T[], place: number, value: T): void {
  if (place === list.length) list.push(value)
  else list.splice(place, 0, value)
}

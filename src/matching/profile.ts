import type { Observations } from './observations.ts'

const none: readonly number[] = []

function put<T>(list: T[], place: number, value: T): void {
  if (place === list.length) list.push(value)
  else list.splice(place, 0, value)
}

/**
 * Events as told so far, parallel arrays in time order: what the next source is aligned against.
 * Times are common-clock seconds; `half` is half the rounding step of the finest clock that told of the event.
 */
export class Profile {
  readonly time: number[] = []
  readonly end: number[] = []
  readonly half: number[] = []
  readonly volume: number[] = []
  /** Half the rounding step of the volume, gal. */
  readonly halfGal: number[] = []
  readonly fraction: number[] = []
  readonly latitude: number[] = []
  readonly longitude: number[] = []
  readonly fire: number[] = []
  readonly purpose: number[] = []
  /** Observations that tell of the event, in the order in which they joined. */
  readonly members: number[][] = []
  /** Observations that stand for this event and its neighbours together. */
  readonly summaries: (readonly number[])[] = []

  get count(): number {
    return this.time.length
  }

  /** One event per observation, by the clock as it stands; the observations ascend in time. */
  static of(o: Observations, indices: readonly number[], half: number): Profile {
    const profile = new Profile()
    for (const index of indices) profile.insert(o, index, o.start[index]!, o.end[index]!, half)
    return profile
  }

  /** A new event from one observation, put where its time belongs; returns its place. */
  insert(o: Observations, index: number, time: number, end: number, half: number, halfGal = 0): number {
    let place = this.count
    while (place > 0 && this.time[place - 1]! > time) place--
    put(this.time, place, time)
    put(this.end, place, end)
    put(this.half, place, half)
    put(this.volume, place, o.volume[index]!)
    put(this.halfGal, place, halfGal)
    put(this.fraction, place, o.fraction[index]!)
    put(this.latitude, place, o.latitude[index]!)
    put(this.longitude, place, o.longitude[index]!)
    put(this.fire, place, o.fire[index]!)
    put(this.purpose, place, o.purpose[index]!)
    put(this.members, place, [index])
    put(this.summaries, place, none)
    return place
  }

  /** Another telling of an event: what the event lacked, it gets. */
  join(o: Observations, event: number, index: number, halfGal = 0): void {
    this.members[event]!.push(index)
    if (Number.isNaN(this.volume[event]!)) {
      this.volume[event] = o.volume[index]!
      this.halfGal[event] = halfGal
    }
    if (Number.isNaN(this.fraction[event]!)) this.fraction[event] = o.fraction[index]!
    if (Number.isNaN(this.latitude[event]!)) {
      this.latitude[event] = o.latitude[index]!
      this.longitude[event] = o.longitude[index]!
    }
    if (Number.isNaN(this.fire[event]!)) this.fire[event] = o.fire[index]!
    if (Number.isNaN(this.purpose[event]!)) this.purpose[event] = o.purpose[index]!
  }

  /** A line that stands for this event among others. */
  stand(event: number, index: number): void {
    this.summaries[event] = [...this.summaries[event]!, index]
  }
}

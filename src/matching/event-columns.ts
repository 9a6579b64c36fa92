import type { Observations } from './observations.ts'

const room = 64

/**
 * Events as told so far, parallel columns in time order; NaN where nobody said anything yet. Times are common-clock
 * seconds; `half` is half the rounding step of the finest clock that told of the event, `halfGal` that of its volume.
 * Filled again and again rather than made anew: stretches of work are many and small. Columns reach beyond `count`.
 */
export class EventColumns {
  count = 0
  time = new Float64Array(room)
  end = new Float64Array(room)
  half = new Float64Array(room)
  volume = new Float64Array(room)
  halfGal = new Float64Array(room)
  fraction = new Float64Array(room)
  latitude = new Float64Array(room)
  longitude = new Float64Array(room)
  fire = new Float64Array(room)
  purpose = new Float64Array(room)

  clear(): void {
    this.count = 0
  }

  /** A new event from one observation, put where its time belongs; returns its place. */
  insert(o: Observations, index: number, time: number, end: number, half: number, halfGal = 0): number {
    let place = this.count
    while (place > 0 && this.time[place - 1]! > time) place--
    if (this.count === this.time.length) this.#grow()
    if (place < this.count)
      for (const column of this.#columns()) column.copyWithin(place + 1, place, this.count)
    this.count++
    this.time[place] = time
    this.end[place] = end
    this.half[place] = half
    this.volume[place] = o.volume[index]!
    this.halfGal[place] = halfGal
    this.fraction[place] = o.fraction[index]!
    this.latitude[place] = o.latitude[index]!
    this.longitude[place] = o.longitude[index]!
    this.fire[place] = o.fire[index]!
    this.purpose[place] = o.purpose[index]!
    return place
  }

  /** Another telling of an event: what the event lacked, it gets. */
  join(o: Observations, event: number, index: number, halfGal = 0): void {
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

  #columns(): Float64Array[] {
    const { time, end, half, volume, halfGal, fraction, latitude, longitude, fire, purpose } = this
    return [time, end, half, volume, halfGal, fraction, latitude, longitude, fire, purpose]
  }

  #grow(): void {
    const wider = this.#columns().map((column) => {
      const more = new Float64Array(2 * column.length)
      more.set(column)
      return more
    })
    this.time = wider[0]!
    this.end = wider[1]!
    this.half = wider[2]!
    this.volume = wider[3]!
    this.halfGal = wider[4]!
    this.fraction = wider[5]!
    this.latitude = wider[6]!
    this.longitude = wider[7]!
    this.fire = wider[8]!
    this.purpose = wider[9]!
  }
}

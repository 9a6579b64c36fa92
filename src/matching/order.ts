/** Does a list stand in order? Most lists here do, and are long done before a sort would have begun. */
export function isInOrder<T>(list: readonly T[], compare: (a: T, b: T) => number): boolean {
  for (let place = 1; place < list.length; place++)
    if (compare(list[place - 1]!, list[place]!) > 0) return false
  return true
}

/** Whole numbers in ascending order: the list itself where it is. */
export function ascending(list: readonly number[]): readonly number[] {
  if (list.length < 2 || isInOrder(list, byNumber)) return list
  const copy = [...list]
  if (copy.length > most) return copy.sort(byNumber)
  for (let i = 1; i < copy.length; i++) {
    const value = copy[i]!
    let place = i
    for (; place > 0 && copy[place - 1]! > value; place--) copy[place] = copy[place - 1]!
    copy[place] = value
  }
  return copy
}

function byNumber(a: number, b: number): number {
  return a - b
}

/** So many are put in order one by one. */
const most = 40
let space = new Float64Array(64)

/** The values in ascending order, at the head of working space that is good until the next call. */
export function sortedSpace(values: readonly number[]): Float64Array {
  const count = values.length
  if (count > space.length) space = new Float64Array(2 * count)
  if (count > most) {
    space.set(values)
    space.subarray(0, count).sort()
    return space
  }
  for (let i = 0; i < count; i++) {
    const value = values[i]!
    let place = i
    for (; place > 0 && space[place - 1]! > value; place--) space[place] = space[place - 1]!
    space[place] = value
  }
  return space
}

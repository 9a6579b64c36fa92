import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

/**
 * The doors that moved: `1;2`, `1,2`, `door-1;door-2`, `1-4`, `D1 & D3` give `['door-1', 'door-2']` in order,
 * each once; `all` gives `'all'`. With the tank's number of doors, a higher door number is refused.
 */
export function readDoors(text: string, doorCount?: number): Read<string[] | 'all'> {
  const cell = tidy(text)
    ?.toLowerCase()
    .replace(/^doors? /, '')
    .replace(/ ?(?: to |–|\.\.|(?<=[0-9]) ?- ?(?=[d0-9])) ?/g, '-')
  if (cell === undefined) return bad('blank')
  if (/^(all|all doors|both)$/.test(cell))
    return cell === 'both' && doorCount !== undefined && doorCount !== 2
      ? bad('both doors of a tank that has not two')
      : good('all')
  const numbers = new Set<number>()
  for (const piece of cell.split(/ ?(?:[;,+&|/]| and ) ?| (?=d(?:oor)?[ -]?[0-9])| (?=[0-9])/)) {
    const range = /^(?:doors?|d|#)?[ -]?([0-9]{1,2})(?:-(?:doors?|d|#)?[ -]?([0-9]{1,2}))?$/.exec(
      piece.trim(),
    )
    if (!range) return bad(`'${piece.trim()}' names no door`)
    const first = Number(range[1])
    const last = Number(range[2] ?? range[1])
    if (first < 1 || last < first) return bad(`'${piece.trim()}' names no door`)
    for (let door = first; door <= last; door++) numbers.add(door)
  }
  const doors = [...numbers].sort((a, b) => a - b)
  const highest = doors.at(-1)!
  if (doorCount !== undefined && highest > doorCount)
    return bad(`door ${highest} of a tank with ${doorCount}`)
  return good(doors.map((door) => `door-${door}`))
}

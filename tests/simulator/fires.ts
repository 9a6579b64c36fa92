import { DAY, HOUR } from './clock.ts'
import { distanceNm, offsetPoint } from './geo.ts'
import type { Random } from './random.ts'
import { fireNames, fuels } from './tables.ts'
import type { TrueBase, TrueFire } from './truth.ts'

/** The forms of a name that people use: the first word alone, and the last word cut short. */
function aliasesOf(name: string): string[] {
  const words = name.split(' ')
  if (words.length < 2) return []
  const cut = words.at(-1)!.replace(/[aeiou]/g, '')
  return [[...words.slice(0, -1), cut.length > 1 ? cut : words.at(-1)!].join(' ').toUpperCase()]
}

/**
 * Fires come in bursts, several at once around one base, with a few on their own. Two fires never
 * come so near one another that a drop on one could be taken for a drop on the other.
 */
export function makeFires(bases: TrueBase[], start: number, days: number, random: Random): TrueFire[] {
  const fires: TrueFire[] = []
  const names = random.shuffle(fireNames)
  const ignite = (base: TrueBase, day: number): void => {
    const radius = random.pick([5, 5, 5, 4, 7])
    for (let attempt = 0; attempt < 60; attempt++) {
      const place = offsetPoint(base, random.between(18, 85), random.between(0, 360))
      if (fires.some((other) => distanceNm(place, other) < radius + other.radius_nm + 4)) continue
      const index = fires.length
      const name = names[index % names.length]!
      const began = start + Math.max(0, day) * DAY + random.whole(8, 20) * HOUR
      fires.push({
        ...place,
        number: `ZY-QX${base.code.slice(0, 1)}-${String(101 + index * 7).padStart(6, '0')}`,
        name: index < names.length ? name : `${name} ${Math.floor(index / names.length) + 1}`,
        started: began,
        ended: began + random.whole(2, 11) * DAY,
        fuel: random.pick(fuels),
        radius_nm: radius,
        aliases: index % 3 === 0 ? aliasesOf(name) : [],
      })
      return
    }
  }
  for (let day = random.whole(2, 6); day < days - 3; day += random.whole(9, 19)) {
    const base = random.pick(bases)
    const size = random.whole(2, 5)
    for (let count = 0; count < size; count++) ignite(base, day + random.whole(0, 4))
    if (random.chance(0.4)) ignite(random.pick(bases), day + random.whole(0, 6))
  }
  for (let count = 0; count < days / 25; count++) ignite(random.pick(bases), random.whole(1, days - 4))
  return fires.sort((a, b) => a.started - b.started)
}

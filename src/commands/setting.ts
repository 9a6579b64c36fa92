import { typeAgain } from '../intake/index.ts'
import { isZone } from '../values/zone.ts'
import { atMost, choose } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError } from './effects.ts'
import { withWarehouse } from './session.ts'
import { bringAllUpToDate } from './update.ts'

/** Settings by the name people give, with their name in the warehouse and what they may hold. */
const settings: Readonly<
  Record<string, { name: string; about: string; check: (value: string) => string | null }>
> = {
  'home-zone': {
    name: 'home_zone',
    about: 'IANA zone that names the operating day where no base does',
    check: (value) => (isZone(value) ? null : `${value} is no IANA time zone, such as America/Denver`),
  },
}

export const settingCommand: Command = {
  name: 'setting',
  summary: 'show or set the home zone and other settings',
  usage: '[NAME [VALUE]]',
  options: {},
  examples: ['gallonage setting', 'gallonage setting home-zone America/Boise'],
  async run(args, effects) {
    const [name, value] = args.positionals
    atMost(2, args.positionals)
    const setting = name === undefined ? null : settings[choose('a setting', name, Object.keys(settings))]!
    return withWarehouse(
      args,
      effects,
      async (warehouse) => {
        if (setting && value !== undefined) {
          const trouble = setting.check(value)
          if (trouble) throw new CommandError(trouble)
          await warehouse.exclusive(() =>
            warehouse.transaction(async () => {
              await warehouse.run('INSERT OR REPLACE INTO raw.setting VALUES ($name, $value)', {
                name: setting.name,
                value,
              })
              await typeAgain(warehouse)
              await bringAllUpToDate(warehouse)
            }),
          )
        }
        const rows = await warehouse.rows<{ name: string; value: string }>(
          'SELECT name, value FROM raw.setting',
        )
        const known = Object.fromEntries(
          Object.entries(settings).map(([key, one]) => [
            key,
            rows.find((row) => row.name === one.name)?.value ?? null,
          ]),
        )
        if (args.flag('json')) effects.out(`${JSON.stringify(known, null, 2)}\n`)
        else
          for (const [key, one] of Object.entries(settings))
            effects.out(`${key}  ${known[key] ?? '(not set)'}  ${one.about}\n`)
        return 0
      },
      { mayMake: value !== undefined },
    )
  },
}

import { rm } from 'node:fs/promises'
import { expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

test('a name that a correction took away leads to the record nearest in time; one that never was does not', async () => {
  const logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\nN802ZY\n',
    'drops.csv': [
      'dropped_at,aircraft,volume_gal',
      '2026-07-04T20:01:00Z,N801ZY,801',
      '2026-07-04T20:21:00Z,N801ZY,799',
      '2026-07-04T20:02:00Z,N802ZY,350',
      '',
    ].join('\n'),
  })
  const house = await House.open()
  try {
    await house.ingest(logs)
    const [first] = await house.rows<{ drop: string }>('drops')
    expect(first!.drop).toBe('D-N801ZY-20260704T200100Z')
    const evidence = JSON.parse((await house.say('evidence', 'drop', first!.drop, '--json')).out) as {
      observations: { obs: string }[]
    }
    const [line] = evidence.observations
    const why = ['--reason', 'the crew read the wrong clock', '--by', 'R. Alder']
    await house.say(
      'amend',
      'set',
      line!.obs,
      '--field',
      'dropped_at',
      '--value',
      '2026-07-04T20:03:00Z',
      ...why,
    )
    expect(await house.say('evidence', 'drop', first!.drop)).toMatchObject({
      code: 1,
      err: expect.stringContaining('the nearest in time is D-N801ZY-20260704T200300Z'),
    })
    for (const name of [
      'D-N801ZY-20260705T200100Z',
      'D-N803ZY-20260704T200100Z',
      'D-N801ZY-20269904T200100Z',
    ])
      expect(await house.say('evidence', 'drop', name)).toMatchObject({
        code: 1,
        err: expect.stringContaining(`there is no drop ${name}; "gallonage query drops" lists them`),
      })
  } finally {
    await house.close()
    await rm(logs, { recursive: true })
  }
})

import { execFileSync } from 'node:child_process'
import { symlinkSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { discover } from '../../src/sources/index.ts'
import { Workbench } from './workbench.ts'

const bench = new Workbench()
afterAll(() => bench.close())

const season = [
  'season/b.csv',
  'season/a.csv',
  'season/deep/c.csv.gz',
  'season/deep/notes.txt',
  'season/data.json',
]
const passedOver = [
  'season/README.md',
  'season/.hidden.csv',
  'season/.git/config',
  'season/~$a.xlsx',
  'season/profile.schema.json',
]
const profiles = ['season/profiles/north.json', 'season/deep/profiles/south.json']
for (const name of [...season, ...passedOver, ...profiles, 'season/profiles/README.md'])
  bench.write(name, 'x\n')
symlinkSync(join(bench.folder, 'season'), join(bench.folder, 'season/deep/loop'))

const inside = (paths: string[]) => paths.map((path) => path.slice(bench.folder.length + 1))

test('a folder gives its files in order of path, at any depth, and its profiles', async () => {
  const { files, profileFiles, problems } = await discover([join(bench.folder, 'season')])
  expect(inside(files.map(({ path }) => path))).toEqual([...season].sort())
  expect(inside(profileFiles)).toEqual([...profiles].sort())
  expect(problems).toEqual([])
  expect(files[0]).toMatchObject({ bytes: 2 })
  expect(files[0]!.modifiedAt.getTime()).toBeGreaterThan(0)
})

test('a named file brings the profiles beside it, and is taken whatever it is called', async () => {
  const { files, profileFiles } = await discover([
    join(bench.folder, 'season/a.csv'),
    join(bench.folder, 'season/README.md'),
  ])
  expect(inside(files.map(({ path }) => path))).toEqual(['season/README.md', 'season/a.csv'])
  expect(inside(profileFiles)).toEqual(['season/profiles/north.json'])
})

test('a file named twice is taken once; a path that is not there is a problem and the rest goes on', async () => {
  const path = join(bench.folder, 'season/a.csv')
  const gone = join(bench.folder, 'gone.csv')
  const { files, problems } = await discover([path, gone, `${bench.folder}/season/../season/a.csv`])
  expect(inside(files.map((file) => file.path))).toEqual(['season/a.csv'])
  expect(problems).toEqual([
    {
      path: gone,
      line: null,
      what: 'there is no such file or folder',
      fix: 'check the spelling of the path',
    },
  ])
})

test('a link that leads nowhere and a pipe are named for what they are', async () => {
  const link = join(bench.folder, 'dangling.csv')
  symlinkSync('nowhere', link)
  const pipe = join(bench.folder, 'pipe.csv')
  execFileSync('mkfifo', [pipe])
  const { files, problems } = await discover([link, pipe])
  expect(files).toEqual([])
  expect(problems.map(({ what }) => what)).toEqual([
    'it is a link to something that is not there',
    'it is neither a file nor a folder',
  ])
})

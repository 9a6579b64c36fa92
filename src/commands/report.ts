import { QueryProblem } from '../catalogue/index.ts'
import { makeReport, PrintingFailed, reportKinds } from '../report/index.ts'
import { isZone } from '../values/zone.ts'
import type { Arguments } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import { atMost, choose } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { checkWritable, writeNamed } from './named-file.ts'
import { paramsOf } from './query.ts'
import { fingerprintOf, inFolder, withWarehouse } from './session.ts'
import { checkSubjects } from './subjects.ts'

const text = (value: string, about: string) => ({ type: 'string', value, about }) as const
const endings = ['html', 'pdf', 'xlsx'] as const
const shortParams = ['season', 'tank', 'invoice', 'contract'] as const

export const reportCommand: Command = {
  name: 'report',
  summary: 'a printable report: season, maintenance, contract, statement, work-list, conversion',
  usage: `${reportKinds.join('|')} --out FILE.html|.pdf|.xlsx`,
  options: {
    out: text('FILE', 'where it goes; its ending says what it is: .html, .pdf or .xlsx'),
    season: text('NAME', 'a season'),
    tank: text('SERIAL', 'one tank'),
    invoice: text('NUMBER', 'one invoice (statement, contract)'),
    contract: text('NUMBER', 'one contract (statement, contract)'),
    units: text('us|metric', 'gallons and feet (default), or litres and metres'),
    zone: text('ZONE', 'IANA zone of the times, such as America/Boise (default UTC)'),
    param: {
      type: 'string',
      multiple: true,
      value: 'NAME=VALUE',
      about: 'another param of its questions; may be repeated',
    },
  },
  examples: [
    'gallonage report season --season 2026 --out season-2026.pdf',
    'gallonage report season --season 2026 --units metric --zone America/Boise --out season-2026.html',
    'gallonage report maintenance --out due.xlsx',
    'gallonage report statement --invoice INV-A-2609 --out INV-A-2609.pdf',
    'gallonage report conversion --tank K-1 --out K-1.pdf',
  ],
  async run(args, effects) {
    const kind = choose('a report', args.positionals[0], reportKinds)
    atMost(1, args.positionals)
    const out = args.text('out')
    const ending = endings.find((one) => one === out?.split('.').at(-1))
    if (out === null || ending === undefined)
      throw new UsageError('give --out with a name that ends in .html, .pdf or .xlsx')
    const look = lookOf(args)
    const own = shortParams.flatMap((name) => {
      const value = args.text(name)
      return value === null ? [] : [[name, value] as const]
    })
    const path = inFolder(effects.cwd, out)
    checkWritable(path)
    try {
      await withWarehouse(args, effects, async (warehouse) => {
        const params = { ...paramsOf(args), ...Object.fromEntries(own) }
        await checkSubjects(warehouse, params)
        const report = await makeReport(kind, {
          catalogue: openCatalogue(),
          warehouse,
          params,
          fingerprint: await fingerprintOf(warehouse),
          madeAt: effects.now(),
          version: effects.version,
          look,
        })
        const made = {
          html: async () => report.toHtml(),
          pdf: () => report.toPdf(effects.env),
          xlsx: () => report.toXlsx(),
        }
        await writeNamed(path, await made[ending]())
      })
    } catch (error) {
      if (error instanceof QueryProblem && ['unknown-param', 'bad-param'].includes(error.code))
        throw new UsageError(error.message)
      if (error instanceof QueryProblem || error instanceof PrintingFailed)
        throw new CommandError(error.message)
      throw error
    }
    if (!args.flag('quiet')) effects.err(`wrote ${out}\n`)
    if (args.flag('json')) effects.out(`${JSON.stringify({ written: path })}\n`)
    return 0
  },
}

function lookOf(args: Arguments): { units: 'us' | 'metric'; zone: string } {
  const zone = args.text('zone') ?? 'UTC'
  if (!isZone(zone)) throw new UsageError(`--zone ${zone} is no IANA time zone, such as America/Denver`)
  return { units: choose('units', args.text('units') ?? 'us', ['us', 'metric']), zone }
}

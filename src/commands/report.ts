import { writeFile } from 'node:fs/promises'
import { QueryProblem } from '../catalogue/index.ts'
import { makeReport, PrintingFailed, type ReportKind, reportKinds } from '../report/index.ts'
import { openCatalogue } from './catalogue.ts'
import type { Command } from './command.ts'
import { CommandError, UsageError } from './effects.ts'
import { paramsOf } from './query.ts'
import { fingerprintOf, inFolder, withWarehouse } from './session.ts'

export const reportCommand: Command = {
  name: 'report',
  summary: 'a printable report: season, maintenance, contract, work-list, conversion',
  usage: `${reportKinds.join('|')} --out FILE.html|.pdf|.xlsx`,
  options: {
    out: {
      type: 'string',
      value: 'FILE',
      about: 'where it goes; its ending says what it is: .html, .pdf or .xlsx',
    },
    season: { type: 'string', value: 'NAME', about: 'a season' },
    tank: { type: 'string', value: 'SERIAL', about: 'one tank' },
    param: {
      type: 'string',
      multiple: true,
      value: 'NAME=VALUE',
      about: 'another param of its questions; may be repeated',
    },
  },
  examples: [
    'gallonage report season --season 2026 --out season-2026.pdf',
    'gallonage report maintenance --out due.xlsx',
    'gallonage report conversion --tank K-1 --out K-1.pdf',
  ],
  async run(args, effects) {
    const [kind] = args.positionals
    const out = args.text('out')
    if (!reportKinds.some((one) => one === kind))
      throw new UsageError(`name a report: ${reportKinds.join(', ')}`)
    const ending = out?.split('.').at(-1)
    if (out === null || (ending !== 'html' && ending !== 'pdf' && ending !== 'xlsx'))
      throw new UsageError('give --out with a name that ends in .html, .pdf or .xlsx')
    const season = args.text('season')
    const tank = args.text('tank')
    const params = {
      ...paramsOf(args),
      ...(season === null ? {} : { season }),
      ...(tank === null ? {} : { tank }),
    }
    const path = inFolder(effects.cwd, out)
    try {
      await withWarehouse(args, effects, async (warehouse) => {
        const report = await makeReport(kind as ReportKind, {
          catalogue: openCatalogue(),
          warehouse,
          params,
          fingerprint: await fingerprintOf(warehouse),
          madeAt: effects.now(),
          version: '',
        })
        await writeFile(
          path,
          ending === 'html'
            ? report.toHtml()
            : ending === 'pdf'
              ? await report.toPdf(effects.env)
              : await report.toXlsx(),
        )
      })
    } catch (error) {
      if (error instanceof QueryProblem || error instanceof PrintingFailed)
        throw new CommandError(error.message)
      throw error
    }
    if (!args.flag('quiet')) effects.err(`wrote ${out}\n`)
    if (args.flag('json')) effects.out(`${JSON.stringify({ written: path })}\n`)
    return 0
  },
}

import { benchAccount } from './account.ts'
import { benchContracts } from './contracts.ts'
import { benchIngest } from './ingest.ts'
import { benchMaintenance } from './maintenance.ts'
import { benchMatching } from './matching.ts'
import { benchMatchingSeeds } from './matching-seeds.ts'
import { benchPages } from './pages.ts'
import { benchTraces } from './traces.ts'

const [which = 'all', size, ...more] = process.argv.slice(2)
const wants = (name: string): boolean => which === 'all' || which === name

if (wants('ingest')) await benchIngest(Number(size ?? 2_000_000))
if (wants('maintenance')) console.log(await benchMaintenance())
if (wants('matching')) await benchMatching(Number(size ?? 300_000))
if (wants('account')) await benchAccount(Number(size ?? 1_000_000))
if (wants('contracts')) console.log(await benchContracts())
if (wants('pages')) await benchPages(Number(size ?? 1_000_000), more)
if (wants('traces')) await benchTraces(Number(size ?? 1_000_000))
if (wants('matching-seeds')) await benchMatchingSeeds(Number(size ?? 30))

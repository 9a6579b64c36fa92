import type { Asking } from './asking.ts'
import type { ReportContent } from './block.ts'
import { definitions } from './definitions.ts'
import { quality } from './quality.ts'
import { aircraft, bases } from './season-bases.ts'
import { effectiveness } from './season-effectiveness.ts'
import { fires } from './season-fires.ts'
import { overview } from './season-summary.ts'

/** What a manager hands in at the end of a season. */
export async function seasonReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  const { summary, section } = await overview(asking)
  const sections = [
    section,
    await fires(asking),
    await bases(asking),
    await aircraft(asking),
    await effectiveness(asking),
    await quality(asking),
    definitions(
      'Delivered',
      'Canonical record',
      'Fire of a drop',
      'Base of a drop',
      'Flight hours of a fire or base',
      'Gallons per hour',
      'Turnaround',
      'Operating day',
      'Interaction and success',
      'Row fates',
      'Units',
    ),
  ]
  return {
    title: 'Season report',
    subtitle,
    summary,
    cautions: [],
    sections,
    questions: [...asking.questions.values()],
  }
}

import type { Context } from '../context.ts'
import { h } from '../h.ts'
import { option } from './sign.ts'
import { signedDialog } from './signed-dialog.ts'

/** Opens a closed season again; what it refused is tried again. */
export function reopenSeason(seasons: readonly string[], context: Context): void {
  signedDialog(
    {
      title: 'Re-open a closed season',
      about: h(
        'p',
        {},
        'Late rows that the closed season refused are tried again, and its numbers may change.',
      ),
      legend: 'Season',
      submit: 'Re-open it',
      fields: [
        h(
          'label',
          {},
          'Season',
          h(
            'select',
            { name: 'season' },
            seasons.map((season) => option(season)),
          ),
        ),
      ],
      action: 'reopen-season',
      payload: (data) => ({ season: String(data.get('season')) }),
    },
    context,
  )
}

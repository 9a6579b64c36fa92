import { type Api, type ArrivalLine, Problem } from '../api.ts'
import { h } from '../h.ts'

/** Takes files that are dropped anywhere on the page, or chosen; hands them over one by one; says what became of their rows. */
export class Intake {
  readonly element: HTMLElement
  private readonly chooser = h('input', {
    type: 'file',
    multiple: true,
    class: 'unseen',
    'aria-label': 'Files to bring in',
    tabindex: '-1',
    onchange: () => void this.take(this.chooser.files),
  })
  private readonly log = h('aside', { class: 'intake', 'aria-label': 'Arrivals', hidden: true })
  private readonly api: Api
  private readonly arrived: () => void

  constructor(api: Api, arrived: () => void) {
    this.api = api
    this.arrived = arrived
    this.element = h(
      'div',
      {},
      this.chooser,
      h('button', { type: 'button', class: 'bring', onclick: () => this.choose() }, 'Bring in logs'),
      this.log,
    )
    let depth = 0
    const veil = (on: boolean): boolean => document.body.classList.toggle('dropping', on)
    const holdsFiles = (event: DragEvent): boolean => !!event.dataTransfer?.types.includes('Files')
    document.addEventListener('dragenter', (event) => {
      if (holdsFiles(event)) veil(++depth > 0)
    })
    document.addEventListener('dragleave', (event) => {
      if (holdsFiles(event)) veil(--depth > 0)
    })
    document.addEventListener('dragover', (event) => {
      if (holdsFiles(event)) event.preventDefault()
    })
    document.addEventListener('drop', (event) => {
      if (!holdsFiles(event)) return
      event.preventDefault()
      depth = 0
      veil(false)
      void this.take(event.dataTransfer?.files ?? null)
    })
  }

  choose(): void {
    this.chooser.click()
  }

  private async take(files: FileList | null): Promise<void> {
    // Profiles first: they may be of the files that come with them.
    const list = [...(files ?? [])].sort((a, b) => Number(isJson(b)) - Number(isJson(a)))
    if (!list.length) return
    const bar = h('progress', { max: list.length, value: 0, 'aria-label': 'Files read' })
    const status = h('p', { role: 'status' })
    const body = h('tbody')
    const heads = ['file', 'read', 'accepted', 'duplicate', 'superseded', 'quarantined']
    this.log.replaceChildren(
      h(
        'header',
        {},
        h('h2', {}, 'Arrivals'),
        h(
          'button',
          { type: 'button', class: 'close', 'aria-label': 'Close arrivals', onclick: () => this.hide() },
          '✕',
        ),
      ),
      bar,
      status,
      h(
        'div',
        { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'Rows by file' },
        h(
          'table',
          {},
          h('caption', { class: 'unseen' }, 'Rows by file'),
          h(
            'thead',
            {},
            h(
              'tr',
              {},
              heads.map((name, at) => h('th', { scope: 'col', class: at ? 'number' : '' }, name)),
            ),
          ),
          body,
        ),
      ),
    )
    this.log.hidden = false
    let changed = 0
    let profiles = 0
    for (const [at, file] of list.entries()) {
      status.textContent = `Reading ${file.name} (${at + 1} of ${list.length})…`
      try {
        const result = await this.api.ingest(file)
        body.append(
          ...result.files.map((line) => lineOf(line)),
          ...(result.profiles ?? []).map((name) =>
            said(
              file.name,
              `The profile ${name} is kept: files with its headers are read by it from now on.`,
            ),
          ),
          ...(result.problems ?? []).map((problem) => said(file.name, problem, 'problem')),
        )
        changed += result.totals.accepted
        profiles += result.profiles?.length ?? 0
      } catch (error) {
        const words =
          error instanceof Problem
            ? [error.message, error.way].filter(Boolean).join(' ')
            : 'It could not be sent.'
        body.append(said(file.name, words, 'problem'))
      }
      bar.value = at + 1
    }
    status.textContent = changed
      ? `${changed.toLocaleString('en-US')} rows are new. The pages show them now.`
      : profiles
        ? 'No new rows. Bring in the files that the profile is for.'
        : 'Nothing new: every row was known or could not be read.'
    this.chooser.value = ''
    this.arrived()
  }

  private hide(): void {
    this.log.hidden = true
  }
}

function lineOf(line: ArrivalLine): HTMLElement {
  const counts = [line.read, line.accepted, line.duplicate, line.superseded, line.quarantined]
  return line.problem
    ? said(line.path, line.problem, 'problem')
    : h(
        'tr',
        {},
        h('th', { scope: 'row' }, line.path, line.profile ? h('small', {}, ` ${line.profile}`) : null),
        counts.map((count) => h('td', { class: 'number' }, count.toLocaleString('en-US'))),
      )
}

/** A line of words instead of counts. */
function said(name: string, words: string, kind = ''): HTMLElement {
  return h('tr', {}, h('th', { scope: 'row' }, name), h('td', { colspan: 5, class: kind }, words))
}

function isJson(file: File): boolean {
  return /\.json$/i.test(file.name)
}

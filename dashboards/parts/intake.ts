import { readAddress, writeAddress } from '../address.ts'
import { type Api, type ArrivalLine, Problem } from '../api.ts'
import { plural } from '../charts/words.ts'
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
    const came: Came = { fresh: 0, profiles: 0, waiting: 0, unread: 0 }
    for (const [at, file] of list.entries()) {
      status.textContent = `Reading ${file.name} (${at + 1} of ${list.length})…`
      try {
        const result = await this.api.ingest(file)
        body.append(
          ...result.files.flatMap((line) => linesOf(line)),
          ...(result.profiles ?? []).map((name) =>
            said(
              file.name,
              `The profile ${name} is kept: files with its headers are read by it from now on.`,
            ),
          ),
          ...(result.problems ?? []).map((problem) => said(file.name, problem, 'problem')),
        )
        came.fresh += result.totals.accepted
        came.profiles += result.profiles?.length ?? 0
        came.waiting += result.totals.quarantined
        came.unread += result.files.filter((line) => !line.profile && line.problem).length
      } catch (error) {
        came.unread++
        const words = error instanceof Problem ? error.words : 'It could not be sent.'
        body.append(said(file.name, words, 'problem'))
      }
      bar.value = at + 1
    }
    status.replaceChildren(outcomeOf(came), came.waiting ? waitingLink(came.waiting) : '')
    this.chooser.value = ''
    this.arrived()
  }

  private hide(): void {
    this.log.hidden = true
  }
}

interface Came {
  fresh: number
  profiles: number
  /** Rows that wait in quarantine. */
  waiting: number
  /** Files of which no row was read. */
  unread: number
}

/** What came of all files, in a sentence or two. */
function outcomeOf({ fresh, profiles, waiting, unread }: Came): string {
  const files = unread ? ` ${plural(unread, 'file')} could not be read: why stands below.` : ''
  if (fresh)
    return `${plural(fresh, 'row')} ${fresh === 1 ? 'is' : 'are'} new. The pages show ${fresh === 1 ? 'it' : 'them'} now.${files}`
  if (profiles) return `No new rows. Bring in the files that the profile is for.${files}`
  if (files) return `Nothing new.${files}`
  return waiting ? 'Nothing new.' : 'Nothing new: every row was known.'
}

/** The way to the rows that could not be read, from wherever the files were brought in. */
function waitingLink(waiting: number): HTMLElement {
  const here = readAddress(location.search, location.hash)
  const href = writeAddress({ ...here, page: 'records', filters: {}, evidence: null })
  return h(
    'span',
    { class: 'problem' },
    ` ${plural(waiting, 'row')} could not be read and ${waiting === 1 ? 'stands' : 'stand'} in no figure: see `,
    h('a', { href }, 'Records & findings, “Which rows could not be read?”'),
  )
}

/** A file's counts, and below them what is to be said of it; of a file that was not read only the words. */
function linesOf(line: ArrivalLine): HTMLElement[] {
  const counts = [line.read, line.accepted, line.duplicate, line.superseded, line.quarantined]
  const words = line.problem ? said(line.profile ? '' : line.path, line.problem, 'problem') : null
  if (words && !line.profile) return [words]
  const row = h(
    'tr',
    {},
    h('th', { scope: 'row' }, line.path, line.profile ? h('small', {}, ` ${line.profile}`) : null),
    counts.map((count) => h('td', { class: 'number' }, count.toLocaleString('en-US'))),
  )
  return words ? [row, words] : [row]
}

/** A line of words instead of counts. */
function said(name: string, words: string, kind = ''): HTMLElement {
  const place = name ? h('th', { scope: 'row' }, name) : null
  return h('tr', {}, place, h('td', { colspan: name ? 5 : 6, class: kind }, words))
}

function isJson(file: File): boolean {
  return /\.json$/i.test(file.name)
}

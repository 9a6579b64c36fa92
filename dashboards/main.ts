import { type Address, type AddressChange, changeAddress, readAddress, writeAddress } from './address.ts'
import { Api } from './api.ts'
import { Context } from './context.ts'
import { EvidencePanel } from './evidence/panel.ts'
import { h } from './h.ts'
import type { Page } from './page.ts'
import { ownPages, type PageEntry, pages as pagesOfTheBook } from './pages.ts'
import { FilterBar } from './parts/filter-bar.ts'
import { firstRun } from './parts/first-run.ts'
import { Intake } from './parts/intake.ts'
import { Sections } from './parts/sections.ts'
import { failed, loading } from './parts/states.ts'
import { thumbIndex } from './parts/thumb-index.ts'
import { timeText } from './times.ts'

const api = new Api()
const main = document.querySelector('main')!
const announce = document.querySelector('#announce')!
const imprint = document.querySelector('#imprint')!
let address = readAddress(location.search, location.hash)
let open: { page: Page; sections: Sections } | null = null

const bar = new FilterBar((change) => go(change))
const intake = new Intake(api, () => void renew())
const panel = new EvidencePanel(
  () => go({ evidence: null }),
  (evidence) => rename(evidence),
)
let pages: readonly PageEntry[] = pagesOfTheBook
let index = thumbIndex(pages)

function go(change: AddressChange): void {
  follow(writeAddress(changeAddress(address, change)))
}

function follow(link: string): void {
  const before = address
  history.pushState(null, '', link)
  void show(before)
}

/** The record that the address names has another name by now. */
function rename(evidence: string): void {
  const before = address
  history.replaceState(null, '', writeAddress(changeAddress(address, { evidence })))
  void show(before)
}

/** Draws what the address says: a new page from its module, or the same page with other filters. */
async function show(before: Address | null, again = false): Promise<void> {
  address = readAddress(location.search, location.hash)
  const context = new Context(api, address, follow)
  bar.show(address)
  index.show(context)
  const entry = entryOf(address)
  document.title = `${entry.title} · gallonage`
  const view = (at: Address): string => writeAddress({ ...at, evidence: null })
  const isSameView = before && !again && view(before) === view(address)
  void panel.follow(context, again)
  if (isSameView && open) return
  if (isEmpty()) {
    open = null
    main.replaceChildren(firstRun(() => intake.choose()))
    return
  }
  if (open?.page.name !== entry.name) {
    main.replaceChildren(loading())
    const page = await entry.load().catch((error: unknown) => {
      main.replaceChildren(failed(error, () => void show(before, again)))
      return null
    })
    if (!page) return
    if (address.page !== entry.name && pages.some((one) => one.name === address.page)) return
    open = { page, sections: new Sections(page) }
    const heading = h('h1', { tabindex: '-1' }, page.title)
    main.replaceChildren(
      h(
        'header',
        { class: 'plate' },
        h('p', { class: 'numeral', 'aria-hidden': 'true' }, entry.numeral),
        heading,
      ),
      open.sections.element,
    )
    if (before) {
      heading.focus({ preventScroll: true })
      scrollTo(0, 0)
    }
  }
  await open.sections.refresh(context)
  announce.textContent = before ? `${entry.title}: ${summaryOf(address)}` : ''
}

const entryOf = (at: Address): PageEntry => pages.find((page) => page.name === at.page) ?? pages[0]!

/** Own questions have pages of their own, once the server has said which there are. */
function openOwnPages(): void {
  const own = ownPages(api.own)
  if (own.length === pages.length - pagesOfTheBook.length) return
  pages = [...pagesOfTheBook, ...own]
  index = thumbIndex(pages)
  document.querySelector('#index')!.replaceChildren(index.element)
}
const isEmpty = (): boolean => Object.values(api.status.counts).every((count) => count === 0)
const summaryOf = (at: Address): string =>
  Object.entries(at.filters)
    .map(([name, value]) => `${name} ${value}`)
    .join(', ') || 'no filter'

async function renew(): Promise<void> {
  try {
    await api.renew()
    await bar.offer(api, address)
    sign()
    await show(address, true)
  } catch {
    announce.textContent = 'The warehouse does not answer. What stands is from before.'
  }
}

function sign(): void {
  const arrived = api.status.last_arrival
    ? `Last file ${timeText(api.status.last_arrival, address.zone)} ${address.zone}`
    : 'No file yet'
  imprint.replaceChildren(
    h('span', {}, arrived),
    h('span', {}, 'Warehouse ', h('code', {}, api.status.fingerprint.slice(0, 12) || '—')),
  )
}

document.addEventListener('click', (event) => {
  if (
    event.defaultPrevented ||
    event.button !== 0 ||
    event.metaKey ||
    event.ctrlKey ||
    event.shiftKey ||
    event.altKey
  )
    return
  const link = event.target instanceof Element ? event.target.closest('a[href]') : null
  const href = link?.getAttribute('href') ?? ''
  if (!href.startsWith('?')) return
  event.preventDefault()
  follow(href)
})
document.querySelector('.skip')?.addEventListener('click', (event) => {
  event.preventDefault()
  main.focus()
})
addEventListener('popstate', () => void show(address))

async function start(): Promise<void> {
  document.querySelector('#filters')!.append(bar.element)
  document.querySelector('#faces')!.append(bar.faces)
  document.querySelector('#index')!.append(index.element)
  document.querySelector('#bring')!.append(intake.element)
  main.replaceChildren(loading())
  // The page's script comes while the warehouse is asked what it holds.
  entryOf(address)
    .load()
    .catch(() => undefined)
  try {
    await api.open()
  } catch (error) {
    main.replaceChildren(failed(error, () => void start()))
    return
  }
  openOwnPages()
  openLatestSeason()
  sign()
  await show(null)
  // What can be chosen, and the line that stays open for news, come after the answers.
  await bar.offer(api, address).then(() => bar.show(address))
  api.listen(() => void renew())
}

/** A bare address opens the latest season of several; a link that says anything is followed as it stands. */
function openLatestSeason(): void {
  const { seasons } = api.status
  if (location.href.includes('?') || seasons.length < 2) return
  history.replaceState(
    null,
    '',
    writeAddress(changeAddress(address, { filters: { season: seasons.at(-1)! } })),
  )
  address = readAddress(location.search, location.hash)
}

void start()

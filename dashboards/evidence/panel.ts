import { Problem } from '../api.ts'
import type { Context } from '../context.ts'
import { append, type Child, h } from '../h.ts'
import { failed, loading } from '../parts/states.ts'
import { bodyOf } from './body.ts'
import { countEvidence } from './count.ts'
import { Drafts, isWrittenIn } from './drafts.ts'
import type { Evidence } from './types.ts'

/**
 * The side panel: what stands behind one record. A modal dialog, so the page behind is out of reach of Tab
 * and of screen readers, Escape closes it, and the focus returns to the link that opened it, or to the
 * page's heading when an amendment took that link away. News draws it again, unless
 * somebody is writing in it; a record that has another name since is followed through its lines. What was written and not
 * sent is there again when the record is opened again.
 */
export class EvidencePanel {
  private readonly dialog = h('dialog', { class: 'panel', 'aria-labelledby': 'evidence-title' })
  private shown = ''
  private standing: Evidence | null = null
  private opener: Element | null = null
  /** Whose evidence stands in the dialog. */
  private reference = ''
  /** What came of an amendment, and of which record that is still to be said. */
  private told = { reference: '', words: '' }
  /** What records are called since an amendment gave them another name. */
  private readonly renamed = new Map<string, string>()
  private readonly drafts = new Drafts()
  private readonly onClose: () => void
  private readonly onRenamed: (reference: string) => void

  constructor(onClose: () => void, onRenamed: (reference: string) => void) {
    this.onClose = onClose
    this.onRenamed = onRenamed
    this.dialog.addEventListener('close', () => {
      this.drafts.keep(this.reference, this.dialog)
      this.reference = ''
      this.told = { reference: '', words: '' }
      if (this.shown) this.onClose()
      this.shown = ''
      this.standing = null
      const opener = this.opener?.isConnected
        ? this.opener
        : (sameLink(this.opener) ?? document.querySelector('main h1'))
      if (opener instanceof HTMLElement || opener instanceof SVGElement) opener.focus()
    })
    this.dialog.addEventListener('click', (event) => {
      if (event.target === this.dialog) this.dialog.close()
    })
    document.body.append(this.dialog)
  }

  /** Follows the address: opens, changes or closes. */
  async follow(context: Context, again = false): Promise<void> {
    const reference = context.address.evidence
    if (!reference) {
      this.shown = ''
      if (this.dialog.open) this.dialog.close()
      return
    }
    const view = `${reference} ${context.address.units} ${context.address.zone}`
    if (this.shown === view && !again) return
    if (this.shown === view && isWrittenIn(this.dialog)) {
      this.sayChanged(context)
      return
    }
    this.shown = view
    if (this.reference !== reference) {
      this.drafts.keep(this.reference, this.dialog)
      this.reference = ''
    }
    if (this.told.reference !== reference) this.told = { reference, words: '' }
    const [kind = '', ...rest] = reference.split(':')
    const id = rest.join(':')
    if (!this.dialog.open) {
      this.opener = document.activeElement
      this.fill(id, loading())
      this.dialog.showModal()
    }
    try {
      if (kind === 'count') {
        const { title, body } = await countEvidence(id, context)
        if (this.shown === view) this.fill(title, body)
        return
      }
      const evidence = await context.api.evidence<Evidence>(kind, id)
      if (this.shown !== view) return
      this.standing = evidence
      this.fill(
        evidence.title,
        bodyOf(evidence, context, (words) => this.tell(reference, words)),
      )
      this.reference = reference
      this.drafts.restore(reference, this.dialog)
    } catch (error) {
      const name =
        error instanceof Problem && error.status === 404 ? await this.newName(kind, id, context) : null
      if (this.shown !== view) return
      if (name) {
        this.told.reference = `${kind}:${name}`
        this.renamed.set(reference, this.told.reference)
        this.onRenamed(this.told.reference)
      } else
        this.fill(
          `${kind} ${id}`,
          failed(error, () => void this.follow(context, true)),
        )
    }
  }

  /** What the record that stood here is called now: a corrected time or a merge gives it another name. */
  private async newName(kind: string, id: string, context: Context): Promise<string | null> {
    const { standing } = this
    const line = standing?.kind === kind && standing.id === id ? standing.observations[0] : undefined
    if (!line) return null
    const evidence = await context.api.evidence<Evidence>('obs', line.obs).catch(() => null)
    return evidence?.related.find((one) => one.kind === kind)?.id ?? null
  }

  /** Says in the head what came of an amendment; it stays there while the record, or what it became, is open. */
  private tell(reference: string, words: string): void {
    if (this.told.reference !== (this.renamed.get(reference) ?? reference)) return
    this.told.words = words
    this.sayTold()
  }

  private sayTold(): void {
    const header = this.dialog.querySelector('header')
    header?.querySelector('.told')?.remove()
    if (this.told.words) header?.append(h('p', { class: 'told', role: 'status' }, this.told.words))
  }

  private sayChanged(context: Context): void {
    const header = this.dialog.querySelector('header')
    if (!header || header.querySelector('.left-out')) return
    header.append(
      h(
        'p',
        { class: 'left-out', role: 'status' },
        'The records have changed since this was opened. ',
        h(
          'button',
          {
            type: 'button',
            class: 'plain',
            onclick: () => {
              this.shown = ''
              void this.follow(context, true)
            },
          },
          'Show what stands now',
        ),
      ),
    )
  }

  private fill(title: string, body: Child): void {
    const close = h(
      'button',
      { type: 'button', class: 'close', 'aria-label': 'Close evidence', onclick: () => this.dialog.close() },
      '✕',
    )
    const content = h('div', { class: 'panel-body' })
    append(content, [body])
    this.dialog.replaceChildren(
      h(
        'header',
        {},
        h('p', { class: 'kicker' }, 'Evidence'),
        h('h2', { id: 'evidence-title', tabindex: '-1' }, title),
        close,
      ),
      content,
    )
    this.sayTold()
    if (this.dialog.open) close.focus()
  }
}

/** The page may have been drawn again meanwhile: the link that leads where the old one led. */
function sameLink(opener: Element | null): Element | null {
  const href = opener?.getAttribute('href')
  return href ? document.querySelector(`main a[href="${CSS.escape(href)}"]`) : null
}

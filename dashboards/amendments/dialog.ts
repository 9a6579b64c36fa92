import { append, type Child, h } from '../h.ts'

/**
 * A small modal for one decision. It opens in its first field; Escape and the cross close it; the focus goes back where it was,
 * to what has taken its place when the page was drawn again meanwhile, or else to the page's heading.
 */
export function openDialog(title: string, body: (close: () => void) => Child): void {
  const dialog = h('dialog', { class: 'small', 'aria-labelledby': 'dialog-title' })
  const before = document.activeElement
  const close = (): void => dialog.close()
  append(dialog, [
    h(
      'header',
      {},
      h('h2', { id: 'dialog-title' }, title),
      h('button', { type: 'button', class: 'close', 'aria-label': 'Close', onclick: close }, '✕'),
    ),
    body(close),
  ])
  dialog.addEventListener('close', () => {
    dialog.remove()
    const now = before?.isConnected ? before : before?.id ? document.getElementById(before.id) : null
    const target = now ?? document.querySelector('main h1')
    if (target instanceof HTMLElement) target.focus()
  })
  document.body.append(dialog)
  dialog.showModal()
  dialog.querySelector<HTMLElement>('form input, form select')?.focus()
}

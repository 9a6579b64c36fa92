import { append, type Child, h } from '../h.ts'

/** A small modal for one decision. Escape and the cross close it; the focus goes back where it was. */
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
    body(() => setTimeout(close, 600)),
  ])
  dialog.addEventListener('close', () => {
    dialog.remove()
    if (before instanceof HTMLElement) before.focus()
  })
  document.body.append(dialog)
  dialog.showModal()
}

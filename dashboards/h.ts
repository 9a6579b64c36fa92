export type Child = Node | string | number | null | undefined | false | readonly Child[]
export type Attribute = string | number | boolean | null | undefined | ((event: Event) => void)
export type Attributes = Readonly<Record<string, Attribute>>

/**
 * An HTML element from its tag, attributes and children. A function under `onclick`, `onsubmit`, … listens;
 * `false`, `null` and `undefined` leave an attribute or a child out; text is never read as markup.
 */
export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag)
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue
    if (typeof value === 'function') element.addEventListener(name.replace(/^on/, ''), value)
    else element.setAttribute(name, value === true ? '' : String(value))
  }
  append(element, children)
  return element
}

export function append(parent: Element, children: readonly Child[]): void {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue
    if (Array.isArray(child)) append(parent, child)
    else parent.append(child instanceof Node ? child : String(child))
  }
}

/** Text that only a screen reader meets. */
export function unseen(text: string): HTMLElement {
  return h('span', { class: 'unseen' }, text)
}

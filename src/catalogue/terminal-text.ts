export function letters(text: string): number {
  return [...text].length
}

/** Cut with `…` where it is longer than the width. */
export function clipped(text: string, width: number): string {
  const all = [...text]
  return all.length > width ? `${all.slice(0, Math.max(0, width - 1)).join('')}…` : text
}

/** Breaks a sentence into lines of the width; a word that is longer has a line of its own. */
export function wrapped(text: string, width: number): string[] {
  const lines = ['']
  for (const word of text.split(' ')) {
    const line = lines.at(-1)!
    if (line !== '' && letters(line) + 1 + letters(word) > width) lines.push(word)
    else lines[lines.length - 1] = line === '' ? word : `${line} ${word}`
  }
  return lines
}

/** Control letters in a record must not steer the terminal. */
export function printable(text: string): string {
  return text.replace(/[\p{Cc}\p{Bidi_Control}]/gu, '·')
}

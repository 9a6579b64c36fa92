/** Text cut to a length, with an ellipsis where something was left out. */
export const clip = (text: string, length: number): string =>
  text.length > length ? `${text.slice(0, length - 1)}…` : text

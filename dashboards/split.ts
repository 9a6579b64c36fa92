/** The share of a full load that was asked for, as people write it. */
export const splitOf = (fraction: number | null): string =>
  fraction === null
    ? 'split not known'
    : ({ 0.25: '¼', 0.5: '½', 0.75: '¾', 1: 'full' }[fraction] ?? `${fraction}`)

import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 300_000,
    hookTimeout: 300_000,
    // The machine may be busy.
    expect: { poll: { timeout: 60_000 } },
    pool: 'forks',
    reporters: ['default', './tests/closing-line.ts'],
  },
})

import type { Reporter, TestModule } from 'vitest/node'

/** Last line of a run, in plain words: how many tests passed, failed and were skipped. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    let passed = 0
    let failed = 0
    let skipped = 0
    for (const module of modules) {
      if (module.state() === 'failed' && [...module.children.allTests()].length === 0) failed++
      for (const test of module.children.allTests()) {
        const state = test.result().state
        if (state === 'passed') passed++
        else if (state === 'failed') failed++
        else skipped++
      }
    }
    process.on('exit', () =>
      process.stdout.write(`\n${passed} passed, ${failed} failed, ${skipped} skipped\n`),
    )
  }
}

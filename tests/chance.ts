import fc from 'fast-check'

/**
 * Property tests, with the same cases in every run, so that what fails is the change at hand. `CHANCE=4711` draws
 * other cases. A search for the smallest case that fails ends in time to be told before the test's own limit.
 */
fc.configureGlobal({ seed: Number(process.env.CHANCE ?? 2026), interruptAfterTimeLimit: 90_000 })

export default fc

// Where the source runs unbuilt, as in tests: a thread has to be told how to read it.
import { register } from 'tsx/esm/api'

register()
await import('./hand-thread.ts')

// A thread does not inherit what lets its process read TypeScript.
import { register } from 'tsx/esm/api'

register()
await import('./fit-thread.ts')

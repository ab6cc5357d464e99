import { demoHoldsAt } from './demo-holds'
import { LOADED_IN_TEST } from './instants'

// All twenty are loaded by `npm run prove`.
for (const { name, now } of LOADED_IN_TEST) demoHoldsAt(name, now)

import { demoHoldsAt } from '../seed/demo-holds'
import { INSTANTS } from '../seed/instants'

// The other half of the twenty: see `demo-days.test.ts`.
for (const instant of INSTANTS.filter((_, place) => place % 2 === 1)) demoHoldsAt(instant)

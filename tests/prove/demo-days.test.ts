import { demoHoldsAt } from '../seed/demo-holds'
import { INSTANTS } from '../seed/instants'

// The demo as `npm start` loads it, at every other one of the twenty instants; the rest beside it in `demo-days-too.test.ts`, so that two can load at once.
for (const instant of INSTANTS.filter((_, place) => place % 2 === 0)) demoHoldsAt(instant)

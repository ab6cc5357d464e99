import { demoHoldsAt } from './demo-holds'
import { CLOCK_CHANGE } from './instants'

demoHoldsAt(CLOCK_CHANGE)

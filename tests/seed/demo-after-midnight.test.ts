import { demoHoldsAt } from './demo-holds'
import { AFTER_MIDNIGHT } from './instants'

demoHoldsAt(AFTER_MIDNIGHT)

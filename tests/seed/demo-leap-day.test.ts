import { demoHoldsAt } from './demo-holds'
import { LEAP_DAY } from './instants'

demoHoldsAt(LEAP_DAY)

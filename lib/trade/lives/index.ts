export { expandVisit } from './expand-visit'
export { livesForPlainFit, livesOfLane } from './lives-of-lane'
export * from './types'

export { chiSquareTails } from './chi-square'
export { incompleteGamma, inverseIncompleteGamma, log1pMinus, logGamma } from './gamma'
export { normalCdf, normalQuantile } from './normal'
export { incompleteBeta, studentQuantile } from './student'

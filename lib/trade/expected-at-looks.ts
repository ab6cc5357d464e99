import type { Life } from './lives/types'

/** The route's life model of one class × mode. */
export type RouteModel = { shape: number; scaleDays: number }

/** @throws RangeError on a model outside its domain. */
export function checkRouteModel({ shape, scaleDays }: RouteModel): void {
  if (!(shape > 0 && scaleDays > 0 && Number.isFinite(shape) && Number.isFinite(scaleDays)))
    throw new RangeError(`a life model needs a shape and a scale above 0, got ${shape} and ${scaleDays}`)
}

/**
 * Hands on, for each look of a life, its age in days and the chance that it finds a need under the model, given that the look before found none: 1 − S(age) / S(age before).
 * Looks by which the life was not watched yet are left out. The model is one that `checkRouteModel` lets pass.
 */
export function expectedAtLooks(
  life: Life,
  { shape, scaleDays }: RouteModel,
  handOn: (ageDays: number, chance: number) => void,
): void {
  const hazard = (ageDays: number) => (ageDays / scaleDays) ** shape
  let lastAge = life.observation.truncatedAt ?? 0
  for (const age of life.lookAges) {
    if (age <= lastAge) continue
    handOn(age, -Math.expm1(hazard(lastAge) - hazard(age)))
    lastAge = age
  }
}

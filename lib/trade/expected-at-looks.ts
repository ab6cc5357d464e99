import type { Life } from './lives/types'

/** The route's life model of one class × mode. `announcesItself`: needs come to light by themselves, so that all the time counts and not only looks. */
export type RouteModel = { shape: number; scaleDays: number; announcesItself?: boolean }

/** @throws RangeError on a model outside its domain. */
export function checkRouteModel({ shape, scaleDays }: RouteModel): void {
  if (!(shape > 0 && scaleDays > 0 && Number.isFinite(shape) && Number.isFinite(scaleDays)))
    throw new RangeError(`a life model needs a shape and a scale above 0, got ${shape} and ${scaleDays}`)
}

/**
 * Hands on, for each look of a life, its age in days and the chance that it finds a need under the model, given that the look before found none: 1 − S(age) / S(age before).
 * Of a mode that announces itself it is watched all the time: handed on is what its hazard adds up to until each look and until the end of the life, by which counts and expectations are
 * equal on average (Andersen & Gill 1982, Ann. Stat. 10: 1100–1120); 1 − S of a stretch that a report cut short would expect too little. Looks by which the life was not watched yet are left out. The model is one that `checkRouteModel` lets pass.
 */
export function expectedAtLooks(
  life: Life,
  { shape, scaleDays, announcesItself = false }: RouteModel,
  handOn: (ageDays: number, chance: number) => void,
): void {
  const hazard = (ageDays: number) => (ageDays / scaleDays) ** shape
  let lastAge = life.observation.truncatedAt ?? 0
  const { lower, upper } = life.observation
  const endAge = life.event ? upper : lower
  const ages = announcesItself ? [...life.lookAges.filter((age) => age < endAge), endAge] : life.lookAges
  for (const age of ages) {
    if (age <= lastAge) continue
    const more = hazard(age) - hazard(lastAge)
    handOn(age, announcesItself ? more : -Math.expm1(-more))
    lastAge = age
  }
}

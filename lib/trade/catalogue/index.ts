/** The catalogue: equipment classes, failure modes, care tasks and which task renews which mode. Look up by slug. */
import { dosing } from './dosing'
import { feedingAndPlants } from './feeding-and-plants'
import { filters } from './filters'
import { pumps } from './pumps'
import { skimmers } from './skimmer'
import { sterilising } from './sterilising'
import { tankAndPlumbing } from './tank-and-plumbing'
import { temperature } from './temperature'
import type { CareTask, EquipmentClass, FailureMode, TankKind } from './types'
import { waterAndInstruments } from './water-and-instruments'

export { currentSlug, firstSlug, formerly } from './formerly'
export { priorOf, weibullOf } from './prior'
export * from './types'

const ENTRIES = [
  ...skimmers,
  ...pumps,
  ...temperature,
  ...filters,
  ...sterilising,
  ...dosing,
  ...feedingAndPlants,
  ...waterAndInstruments,
  ...tankAndPlumbing,
]

export const equipmentClasses: readonly EquipmentClass[] = ENTRIES.map((entry) => entry.equipmentClass)
export const failureModes: readonly FailureMode[] = ENTRIES.flatMap((entry) => entry.modes)
export const careTasks: readonly CareTask[] = ENTRIES.flatMap((entry) => entry.tasks)

const CLASS_BY_SLUG = new Map(equipmentClasses.map((equipmentClass) => [equipmentClass.slug, equipmentClass]))
const MODE_BY_SLUG = new Map(failureModes.map((mode) => [mode.slug, mode]))
const TASK_BY_SLUG = new Map(careTasks.map((task) => [task.slug, task]))

/** `null` where the slug is not of the catalogue (a business can have modes of its own). */
export function findClass(slug: string): EquipmentClass | null {
  return CLASS_BY_SLUG.get(slug) ?? null
}
export function findMode(slug: string): FailureMode | null {
  return MODE_BY_SLUG.get(slug) ?? null
}
export function findTask(slug: string): CareTask | null {
  return TASK_BY_SLUG.get(slug) ?? null
}

/** All failure modes of a class, in the order of the catalogue; empty for an unknown class. */
export function modesOf(equipmentClass: string): FailureMode[] {
  return failureModes.filter((mode) => mode.equipmentClass === equipmentClass)
}
/** All care tasks of a class; empty for an unknown class. */
export function tasksOf(equipmentClass: string): CareTask[] {
  return careTasks.filter((task) => task.equipmentClass === equipmentClass)
}
/** Tasks that renew a mode, the one with the fewest hands-on minutes first. */
export function tasksRenewing(mode: string): CareTask[] {
  return careTasks.filter((task) => task.renews.includes(mode)).sort((a, b) => a.minutes - b.minutes)
}
/** Classes that a tank of this kind normally has. */
export function classesOfTank(kind: TankKind): EquipmentClass[] {
  return equipmentClasses.filter((equipmentClass) => equipmentClass.tankKinds.includes(kind))
}

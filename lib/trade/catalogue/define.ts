/** The short hand in which the family files write a class down; it fills in slugs and everything that follows from the rest. */
import type { CautionSlug } from '@/lib/trade/cautions'
import type { CatalogueEntry, Depth, Mark, TankKind } from './types'

type ModeLine = {
  name: string
  sign: string
  weeks: number
  shape: number
  look: Depth
  mark?: Mark
  announces?: true
  ageLimitWeeks?: number
  safety?: true
}

type TaskLine = {
  name: string
  renews: readonly string[]
  minutes: number
  opens?: true
  replaces?: true
  doer?: 'site staff'
  cautions?: readonly CautionSlug[]
}

/**
 * Builds one catalogue entry. Mode and task keys become `class/key`; `renews` names mode keys of the same class.
 * @throws RangeError when a task renews a mode that the class does not have.
 */
export function defineClass<ModeKey extends string>(line: {
  slug: string
  name: string
  plainName: string
  tanks: readonly TankKind[]
  modes: Record<ModeKey, ModeLine>
  tasks: Record<string, TaskLine & { renews: readonly NoInfer<ModeKey>[] }>
}): CatalogueEntry {
  const modeLines = Object.entries<ModeLine>(line.modes)
  const taskLines = Object.entries<TaskLine>(line.tasks)
  for (const [key, task] of taskLines)
    for (const renewed of task.renews)
      if (!(renewed in line.modes)) throw new RangeError(`${line.slug}/${key} renews unknown mode ${renewed}`)
  return {
    equipmentClass: { slug: line.slug, name: line.name, plainName: line.plainName, tankKinds: line.tanks },
    modes: modeLines.map(([key, mode]) => {
      const renewers = taskLines.filter(([, task]) => task.renews.includes(key))
      return {
        slug: `${line.slug}/${key}`,
        equipmentClass: line.slug,
        name: mode.name,
        sign: mode.sign,
        lookNeeded: mode.look,
        announcesItself: mode.announces ?? false,
        shownByRunning: mode.look === 'running',
        medianWeeks: mode.weeks,
        shape: mode.shape,
        mark: mode.mark ?? 'M',
        ...(mode.ageLimitWeeks === undefined ? {} : { ageLimitWeeks: mode.ageLimitWeeks }),
        lookUnit: 'days',
        safetyCritical: mode.safety ?? false,
        renewedOnlyByReplacing: renewers.length > 0 && renewers.every(([, task]) => task.replaces),
      }
    }),
    tasks: taskLines.map(([key, task]) => ({
      slug: `${line.slug}/${key}`,
      equipmentClass: line.slug,
      name: task.name,
      renews: task.renews.map((mode) => `${line.slug}/${mode}`),
      minutes: task.minutes,
      opens: task.opens ?? false,
      replacesDevice: task.replaces ?? false,
      doer: task.doer ?? 'technician',
      cautions: task.cautions ?? [],
    })),
  }
}

export const MARINE: readonly TankKind[] = ['reef', 'fish-only-marine']
export const FRESH: readonly TankKind[] = [
  'freshwater-community',
  'planted',
  'cold-water',
  'rift-lake',
  'warm-soft-water',
]
export const WARM: readonly TankKind[] = [
  ...MARINE,
  'freshwater-community',
  'planted',
  'rift-lake',
  'warm-soft-water',
  'brackish',
]
export const ALL_TANKS: readonly TankKind[] = [...MARINE, ...FRESH, 'brackish']

/** The words of the files for classes and modes, kept beside the catalogue so that they can be shown as written. Pure but for fresh ids. */
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import { byCodePoint } from './keys'
import type { ImportPlan } from './plan-types'
import type { Brought, Places } from './register-rows'

type OwnWords = { kind: 'class' | 'mode'; slug: string; equipmentClass: string }

export const overlayKey = ({ kind, slug, equipmentClass }: OwnWords) => `${kind} ${equipmentClass} ${slug}`

/** One row for each class and mode that is named in the files and not yet named by this business. */
export function overlayRows(
  plan: ImportPlan,
  places: Places,
  named: ReadonlySet<string>,
  brought: Brought,
): Prisma.CatalogueOverlayCreateManyInput[] {
  const found = new Map<string, OwnWords & { spellings: Map<string, number> }>()
  const count = (about: OwnWords, words: string) => {
    const key = overlayKey(about)
    if (words === '' || named.has(key)) return
    const entry = found.get(key) ?? { ...about, spellings: new Map<string, number>() }
    found.set(key, entry)
    entry.spellings.set(words, (entry.spellings.get(words) ?? 0) + 1)
  }
  for (const { classSlug, classWords, label } of plan.equipment) {
    // "heater 2" names one heater, not the class.
    if (label !== classWords) count({ kind: 'class', slug: classSlug, equipmentClass: classSlug }, classWords)
  }
  for (const { equipmentKey, modeSlug, modeWords } of plan.visits.flatMap((visit) => visit.rows)) {
    const device = equipmentKey === null ? undefined : places.devices.get(equipmentKey)
    if (device && modeSlug !== null)
      count({ kind: 'mode', slug: modeSlug, equipmentClass: device.equipmentClass }, modeWords)
  }
  return [...found.values()].map(({ spellings, ...about }) => {
    const [best] = [...spellings].sort((a, b) => b[1] - a[1] || byCodePoint(a[0], b[0]))
    return { ...brought, ...about, id: newId(), name: best?.[0] ?? '' }
  })
}

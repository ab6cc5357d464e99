import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { dayOf } from '../lanes/day-numbers'
import { type FaultRow, faultRow, WITH_TANK } from './fault-row'
import { isOf, REMEDY_STATE_WORDS, watchRemedies } from './remedies'

export type { FaultRow } from './fault-row'
export { needsOverTime } from './over-time'
export { peopleComparison } from './people'
export { faultStory } from './story'

export type ListedFault = FaultRow & {
  remedy: { state: keyof typeof REMEDY_STATE_WORDS; stateWords: string; words: string; effectiveOn: string | null }
}

const LIST_MAX = 60
/** Below this chance, or with a single need, a pair is not worth a line of the list. */
const WORTH_A_LINE = 0.3

const SUREST_FIRST = [
  { isSure: 'desc' },
  { probabilityAbove: 'desc' },
  { pValue: 'asc' },
  { tankId: 'asc' },
  { failureMode: 'asc' },
] satisfies Prisma.RepeatFaultOrderByWithRelationInput[]

/**
 * Tanks where a fault comes back, over all classes and modes: sure ones first, then those that may be, then those that stand out no longer but
 * have a remedy whose fall is watched. `more`: not all that stand out are in the rows; `sure`: how many do for sure, in the rows or not.
 */
export function repeatFaultList(
  actor: Actor,
  now: Date,
): Promise<{ rows: ListedFault[]; more: boolean; sure: number; pairs: number; fitted: boolean }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const decided = await tx.faultRemedy.findMany({
      where: { businessId, correctedBy: { is: null }, isTakenBack: false },
      distinct: ['tankId', 'equipmentClass', 'failureMode'],
      select: { tankId: true, equipmentClass: true, failureMode: true },
    })
    const tank = { archivedAt: null, mergedIntoId: null }
    const standingOut = await tx.repeatFault.findMany({
      where: {
        ...{ businessId, tank },
        OR: [
          { isSure: true },
          { probabilityAbove: { gte: WORTH_A_LINE }, observed: { gte: 2 } },
          { pValue: { lt: 0.05 }, observed: { gte: 2 } },
        ],
      },
      include: WITH_TANK,
      orderBy: SUREST_FIRST,
      take: LIST_MAX + 1,
    })
    const listed = standingOut.slice(0, LIST_MAX)
    const remedied = decided.length
      ? await tx.repeatFault.findMany({
          where: { businessId, tank, OR: decided },
          include: WITH_TANK,
          orderBy: SUREST_FIRST,
        })
      : []
    const faults = [...listed, ...remedied.filter((fault) => !listed.some((other) => isOf(other, fault)))]
    const names = await ownNames(tx, businessId)
    const { timeZone } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } })
    const remedies = await watchRemedies(tx, businessId, faults, dayOf(new Date(dayIn(timeZone, now))))
    const rows = faults.map((fault): ListedFault => {
      const newest = remedies.find((remedy) => remedy.isNewest && isOf(remedy, fault))
      const state = newest?.watch.state ?? 'none'
      return {
        ...faultRow(fault, names),
        remedy: {
          state,
          stateWords: REMEDY_STATE_WORDS[state],
          words: newest?.watch.words ?? '',
          effectiveOn: newest?.effectiveOn ?? null,
        },
      }
    })
    return {
      rows,
      more: standingOut.length > LIST_MAX,
      sure: await tx.repeatFault.count({ where: { businessId, tank, isSure: true } }),
      pairs: await tx.repeatFault.count({ where: { businessId } }),
      fitted: (await tx.lifeModel.count({ where: { businessId, shape: { not: null } } })) > 0,
    }
  })
}

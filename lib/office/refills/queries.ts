import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { REFILL_KIND_SLUGS, REFILL_KINDS, type RefillKind, refillOf, refillWords } from '@/lib/trade'
import type { Choice } from '../clients/choices'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import type { Question } from '../frame/stored-answer'
import { dayOf } from '../lanes/day-numbers'
import { type NextVisit, visitsToCome } from './next-visits'
import { asRecords, readLevels } from './read-levels'
import { containerOf, dayWordsFor, nextVisitOf, RESERVOIR_COLUMNS, type RefillView, refillViews } from './refill-view'

const IN_ORDER = [{ kind: 'asc' }, { label: 'asc' }, { id: 'asc' }] as const

/** The containers in use at a tank (and at the duplicates merged into it), inside a running query. */
export async function refillsOfTankIn(
  tx: Transaction,
  businessId: string,
  tankIds: readonly string[],
  at: { today: string; locale: string },
): Promise<RefillView[]> {
  const rows = await tx.reservoir.findMany({
    where: { businessId, tankId: { in: [...tankIds] }, archivedAt: null },
    select: RESERVOIR_COLUMNS,
    orderBy: [...IN_ORDER],
  })
  return refillViews(tx, businessId, rows, at)
}

type RefillAtVisit = RefillView & { said: { before: number | null; after: number | null } | null }

/** The containers that a visit can fill, with what was said of them at this visit so far. */
export async function refillsAtVisitIn(
  tx: Transaction,
  businessId: string,
  { visitId, tankId, ...at }: { visitId: string; tankId: string; today: string; locale: string },
): Promise<RefillAtVisit[]> {
  const views = await refillsOfTankIn(tx, businessId, [tankId], at)
  return views.map((view) => {
    const said = view.levels.find((level) => level.visitId === visitId)
    return { ...view, said: said ? { before: said.before, after: said.after } : null }
  })
}

export type ReservoirPage = RefillView & {
  businessId: string
  tankName: string
  today: string
  locale: string
  equipmentId: string
  isArchived: boolean
  devices: Choice[]
  kinds: KindChoice[]
}

/** Everything about one container, or null where it is not at this tank. */
export function findReservoir(actor: Actor, tankId: string, reservoirId: string): Promise<ReservoirPage | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const row = await tx.reservoir.findFirst({
      where: { businessId, id: reservoirId, tank: { OR: [{ id: tankId }, { mergedIntoId: tankId }] } },
      select: { ...RESERVOIR_COLUMNS, equipmentId: true, archivedAt: true },
    })
    const at = row && (await tankAt(tx, businessId, tankId))
    if (!row || !at) return null
    const [view] = await refillViews(tx, businessId, [{ ...row, tankId }], at)
    if (!view) return null
    const { equipmentId, archivedAt } = row
    return {
      ...view,
      businessId,
      ...at,
      kinds: kindChoices(),
      equipmentId: equipmentId ?? '',
      isArchived: archivedAt !== null,
    }
  })
}

export type KindChoice = { value: RefillKind; label: string; units: readonly string[]; how: string }
export type NewReservoir = {
  businessId: string
  tankId: string
  tankName: string
  devices: Choice[]
  kinds: KindChoice[]
}

/** What the form for a new container needs; null where there is no such tank. */
export function findNewReservoir(actor: Actor, tankId: string): Promise<NewReservoir | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const at = await tankAt(tx, businessId, tankId)
    return at && { businessId, tankId, tankName: at.tankName, devices: at.devices, kinds: kindChoices() }
  })
}

function kindChoices(): KindChoice[] {
  return REFILL_KIND_SLUGS.map((value) => {
    const { name, units, how } = REFILL_KINDS[value]
    return { value, label: name, units, how }
  })
}

async function tankAt(tx: Transaction, businessId: string, tankId: string) {
  const tank = await tx.tank.findFirst({
    where: { businessId, id: tankId, mergedIntoId: null },
    select: {
      name: true,
      business: { select: { timeZone: true, locale: true } },
      equipments: { where: { removedOn: null }, select: { id: true, label: true }, orderBy: { label: 'asc' } },
    },
  })
  if (!tank) return null
  const { timeZone, locale } = tank.business
  const devices = tank.equipments.map(({ id, label }) => ({ value: id, label }))
  return { tankName: tank.name, today: dayIn(timeZone, new Date()), locale, devices }
}

export type ShortRefill = {
  reservoirId: string
  tankId: string
  tankName: string
  siteName: string
  label: string
  words: string
  nextVisit: NextVisit
  /** It would have lasted until the day from which the visit was moved. */
  becauseMoved: boolean
}

/** One in four: from this chance of running out on it is a thing to decide. */
const DECIDE_BELOW = 0.75
const SHOWN_AT_MOST = 25

/** Containers we fill that will not last until the next visit, the least likely to last first; a visit that was moved says so. */
export const SHORT_REFILLS: Question<ShortRefill[]> = {
  name: 'short-refills',
  shape: 1,
  freshForMs: 2 * 60_000,
  workOut: async (tx, businessId, now) => {
    const { timeZone, locale } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { timeZone: true, locale: true },
    })
    return shortRefills(tx, businessId, { today: dayIn(timeZone, now), locale })
  },
}

export async function shortRefills(
  tx: Transaction,
  businessId: string,
  { today, locale }: { today: string; locale: string },
): Promise<ShortRefill[]> {
  const rows = await tx.reservoir.findMany({
    where: { businessId, archivedAt: null, filledBy: 'technician', tank: { archivedAt: null, mergedIntoId: null } },
    select: { ...RESERVOIR_COLUMNS, tank: { select: { name: true, site: { select: { name: true } } } } },
    orderBy: { id: 'asc' },
  })
  const levels = await readLevels(
    tx,
    businessId,
    rows.map(({ id }) => id),
    NEWEST_FOR_ALL,
  )
  const lastOn = new Map<string, { lastLevelOn: string | null }>()
  for (const { id, tankId } of rows) {
    const on = levels.get(id)?.at(-1)?.on ?? null
    const known = lastOn.get(tankId)?.lastLevelOn ?? null
    lastOn.set(tankId, { lastLevelOn: known !== null && (on === null || known > on) ? known : on })
  }
  const visits = await visitsToCome(tx, businessId, lastOn, today)
  const formatDay = dayWordsFor(today, locale)
  return rows
    .flatMap((row) => {
      const records = asRecords(levels.get(row.id) ?? [])
      const container = containerOf(row)
      const nextVisit = nextVisitOf(visits.get(row.tankId) ?? [], levels.get(row.id)?.at(-1)?.on ?? null)
      if (!nextVisit) return []
      const nextVisitDay = dayOf(new Date(nextVisit.on))
      const { chance } = refillOf(container, records, nextVisitDay, { chanceOnly: true })
      if (chance === null || chance >= DECIDE_BELOW) return []
      const refill = refillOf(container, records, nextVisitDay)
      const { movedFrom } = nextVisit
      const before =
        movedFrom === null
          ? null
          : refillOf(container, records, dayOf(new Date(movedFrom)), { chanceOnly: true }).chance
      const short: ShortRefill = {
        ...{ reservoirId: row.id, tankId: row.tankId, tankName: row.tank.name, siteName: row.tank.site.name },
        label: row.label,
        words: refillWords(container, refill, {
          ...{ formatDay, nextVisitDay, today: dayOf(new Date(today)) },
          visitIsBooked: nextVisit.visitId !== null,
        }),
        nextVisit,
        becauseMoved: before !== null && before >= DECIDE_BELOW,
      }
      return [{ chance, short }]
    })
    .sort((a, b) => a.chance - b.chance || (a.short.reservoirId < b.short.reservoirId ? -1 : 1))
    .slice(0, SHOWN_AT_MOST)
    .map(({ short }) => short)
}

/** Rows per container that the watch over all tanks reads: enough for the newest stretches that count. */
const NEWEST_FOR_ALL = 26

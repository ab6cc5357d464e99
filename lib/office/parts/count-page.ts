import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { holdings } from './stock'

/** The count sheet of one place: every part, with what should lie there. Null where the place is not in use. */
export function countPage(actor: Actor, placeId: string, now: Date) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const place = await tx.stockPlace.findFirst({
      where: { businessId, id: placeId, archivedAt: null },
      include: { business: { select: { timeZone: true, locale: true } } },
    })
    if (!place) return null
    const held = new Map(
      (await holdings(tx, businessId, { placeId })).map(({ partId, quantity }) => [partId, quantity]),
    )
    const parts = await tx.part.findMany({
      where: { businessId, archivedAt: null },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
      select: { id: true, name: true, unit: true },
    })
    const last = await tx.stockMove.findFirst({
      where: { businessId, kind: 'counted', OR: [{ fromPlaceId: placeId }, { toPlaceId: placeId }] },
      orderBy: [{ movedOn: 'desc' }, { id: 'desc' }],
      select: { movedOn: true },
    })
    return {
      ...{ businessId, placeId, name: place.name, kind: place.kind, locale: place.business.locale },
      today: dayIn(place.business.timeZone, now),
      lastCountOn: asDay(last?.movedOn ?? null),
      // What should be there first: those are looked for.
      parts: parts
        .map((part) => ({ ...part, onPaper: held.get(part.id) ?? 0 }))
        .sort((a, b) => Number(b.onPaper !== 0) - Number(a.onPaper !== 0)),
    }
  })
}

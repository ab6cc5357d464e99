import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { answerTo } from '../frame/stored-answer'
import { keepInWords } from './advice'
import { adviseAll } from './advised-parts'
import { PART_OUTLOOKS } from './outlook'
import { readPartsBook } from './parts-book'
import { PARTS_USED } from './parts-used'

/** The list of parts: what lies where, what is on its way, what to keep and what to order now; and what was used over the year. */
export function partsPage(actor: Actor, now: Date) {
  return inBusiness(actor, async (tx) => {
    const book = await readPartsBook(tx, actor.businessId, now)
    const outlook = await answerTo(tx, actor.businessId, PART_OUTLOOKS, now)
    const used = await answerTo(tx, actor.businessId, PARTS_USED, now)
    const shelves = book.places.filter(({ kind }) => kind === 'shelf')
    const vans = book.places.filter(({ kind }) => kind === 'van')
    const rows = adviseAll(book, outlook?.answer ?? []).map(({ advice, deviceCount, ...part }) => {
      const sum = (places: typeof vans) => places.reduce((all, { id }) => all + book.held(part.id, id), 0)
      return {
        ...{ id: part.id, name: part.name, unit: part.unit, supplierName: part.supplierName },
        ...{ onHand: part.onHand, onOrder: part.onOrder, onShelf: sum(shelves), inVans: sum(vans) },
        belowZero: book.toCount(part.id),
        ...{ keepAtLeast: advice.keepAtLeast, orderNow: advice.orderNow, coverDays: advice.coverDays },
        ...{ expected: advice.forecast.mean, lastsChance: advice.lastsChance, leadTimeDays: part.leadTimeDays },
        devices: deviceCount,
        words: keepInWords(advice, { ...part, devices: deviceCount }),
      }
    })
    const { businessId, today, locale, timeZone } = book
    return {
      ...{ businessId, today, locale, timeZone, used },
      hasPlaces: book.places.length > 0,
      isAwaited: outlook === null,
      madeAt: outlook?.madeAt ?? null,
      rows: rows.sort((a, b) => urgency(b) - urgency(a) || (a.name < b.name ? -1 : 1)),
    }
  })
}

/** What must be ordered first, the least sure to last before the others. */
function urgency({ orderNow, lastsChance }: { orderNow: number; lastsChance: number }): number {
  return orderNow > 0 ? 2 - lastsChance : 0
}

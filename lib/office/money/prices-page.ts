import 'server-only'
import { type Actor, inBusiness } from '../actor'
import { dayIn } from '../clients/days'
import { readPriceList } from './price-list'

/** The price list as one thing per name and unit: today's price, the one to come, and what was asked before. */
export function pricesPage(actor: Actor) {
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: actor.businessId } })
    const today = dayIn(business.timeZone, new Date())
    const entries = await readPriceList(tx, actor.businessId)
    const things = new Map<string, typeof entries>()
    for (const entry of entries) {
      const key = `${entry.name.toLowerCase()}\n${entry.unit.toLowerCase()}`
      things.set(key, [...(things.get(key) ?? []), entry])
    }
    const prices = [...things.values()].flatMap((group) => {
      const now = group.find((entry) => entry.validFrom <= today) ?? group.at(-1)
      return now ? [{ ...now, others: group.filter((entry) => entry !== now) }] : []
    })
    return {
      businessId: business.id,
      currency: business.currency,
      locale: business.locale,
      today,
      defaultTax: { category: business.defaultTaxCategory, ratePercent: business.defaultTaxRate.toFixed() },
      prices,
    }
  })
}

export type ListedPriceRow = Awaited<ReturnType<typeof pricesPage>>['prices'][number]

import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { CLIENTS_PER_PAGE, ownFirst, readDebtors } from './ledger'

/** Who owes what as at a day, by how long it is overdue then: all together, and a page of clients. */
export function debtorsPage(actor: Actor, asked: { asAt?: string | undefined; page: number }, now = new Date()) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { timeZone, locale, currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const today = dayIn(timeZone, now)
    const asAt = asked.asAt ?? today
    const { balances, clients, total } = await readDebtors(tx, { businessId, asAt, page: asked.page })
    return {
      locale,
      today,
      asAt,
      balances: ownFirst(balances, currency),
      clients,
      pages: { page: asked.page, perPage: CLIENTS_PER_PAGE, total },
    }
  })
}

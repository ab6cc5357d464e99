import 'server-only'
import type { Choice } from '../clients/choices'
import { type Actor, inBusiness } from '../frame/actor'
import { asDay, dayIn } from '../frame/days'
import { minorToDecimalText } from '../money/currency'
import type { AgreementFields } from './schema'

export type AgreementForm = {
  businessId: string
  tank: { id: string; name: string }
  current: { id: string; startsOn: string; endsOn: string | null } | null
  fields: AgreementFields
  technicians: Choice[]
}

/** The running agreement as its form shows it, or an empty form; null where the tank is not there. */
export function findAgreementForm(actor: Actor, tankId: string): Promise<AgreementForm | null> {
  return inBusiness(actor, async (tx) => {
    const { businessId } = actor
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, mergedIntoId: null },
      include: { agreements: { orderBy: [{ startsOn: 'desc' }, { id: 'desc' }] }, business: true },
    })
    if (!tank) return null
    const { currency, timeZone } = tank.business
    const today = dayIn(timeZone, new Date())
    const current = tank.agreements.find((row) => row.endsOn === null || asDay(row.endsOn) >= today)
    const technicians = await tx.person.findMany({
      where: { businessId, isTechnician: true, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const everyDays = current?.everyDays ?? 14
    const inWeeks = everyDays % 7 === 0
    return {
      businessId,
      tank: { id: tank.id, name: tank.name },
      current: current ? { id: current.id, startsOn: asDay(current.startsOn), endsOn: asDay(current.endsOn) } : null,
      fields: {
        tankId: tank.id,
        every: current ? String(inWeeks ? everyDays / 7 : everyDays) : '',
        everyUnit: inWeeks ? 'weeks' : 'days',
        anchorOn: current ? asDay(current.anchorOn) : today,
        visitMinutes: String(current?.visitMinutes ?? 45),
        monthlyFee: current ? minorToDecimalText(current.monthlyFeeMinor, currency) : '',
        currency,
        includes: current?.includes ?? '',
        preferredPersonId: current?.preferredPersonId ?? '',
        purchaseOrder: current?.purchaseOrder ?? '',
        billNoAccess: current?.billNoAccess ?? false,
        startsOn: today,
      },
      technicians: technicians.map(({ id, name }) => ({ value: id, label: name })),
    }
  })
}

import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { addPriceItem, issueInvoice, makeDrafts, startDraft } from '@/lib/office/money/commands'
import { editDraft } from '@/lib/office/money/draft-commands'
import type { PriceItem } from '@/lib/office/money/schema'
import { accepted, look, makeBusiness, makeClient, makeSite, makeTank } from '../clients/register'

/** Where work is done and for whom. */
export type Place = { clientId: string; siteId: string; tankId: string }

/** Ids of one command of this actor. */
export const fresh = (actor: Actor) => ({ id: newId(), businessId: actor.businessId })

/** A business that may issue: legal name, address, tax number, account. */
export async function makeSeller(name: string): Promise<Actor> {
  const actor = await makeBusiness(name)
  await look(actor, (tx) =>
    tx.business.update({
      where: { id: actor.businessId },
      data: {
        legalName: `${name} Ltd`,
        address: '4 Quay Lane',
        postcode: 'AB1 2CD',
        city: 'Weyburn',
        taxNumber: 'XX 000 0000 00',
        iban: 'GB82WEST12345698765432',
      },
    }),
  )
  return actor
}

/** A client with one site and one tank. */
export async function makePlace(
  actor: Actor,
  name: string,
  client: Parameters<typeof makeClient>[1] | null = null,
): Promise<Place> {
  const clientId = await makeClient(actor, { name, billingAddress: '1 Mill Road', billingCity: 'Weyburn', ...client })
  const siteId = await makeSite(actor, clientId)
  const tankId = await makeTank(actor, siteId)
  return { clientId, siteId, tankId }
}

type Given = Partial<{ kind: string; outcome: string; minutes: number; whatFor: string; clientId: string }>

/** A visit that was made. */
export function makeDoneVisit(actor: Actor, place: Place, day: string, given: Given = {}): Promise<string> {
  return look(actor, async (tx) => {
    const id = newId()
    const data = { businessId: actor.businessId, id, ...place, localDate: new Date(`${day}T00:00:00Z`) }
    const made = { kind: 'routine', state: 'done', outcome: 'done', minutes: 40, timeZone: 'Europe/London' }
    await tx.visit.create({ data: { ...data, ...made, ...given } })
    return id
  })
}

export function makePart(
  actor: Actor,
  place: Place,
  day: string,
  part: { description: string; quantity: string; priceItemId?: string },
): Promise<string> {
  return look(actor, async (tx) => {
    const id = newId()
    const { clientId, tankId } = place
    await tx.partUsed.create({
      data: { businessId: actor.businessId, id, clientId, tankId, usedOn: new Date(`${day}T00:00:00Z`), ...part },
    })
    return id
  })
}

export function makeAgreement(actor: Actor, place: Place, startsOn: string, given: object = {}): Promise<string> {
  return look(actor, async (tx) => {
    const id = newId()
    const { clientId, tankId } = place
    const starts = new Date(`${startsOn}T00:00:00Z`)
    await tx.agreement.create({
      data: {
        businessId: actor.businessId,
        id,
        clientId,
        tankId,
        everyDays: 14,
        anchorOn: starts,
        startsOn: starts,
        monthlyFeeMinor: 18_000,
        ...given,
      },
    })
    return id
  })
}

export async function makePrice(actor: Actor, given: Partial<PriceItem>): Promise<string> {
  const price: PriceItem = {
    ...fresh(actor),
    name: 'Call-out',
    kind: 'labour',
    unit: 'hour',
    unitPrice: '55',
    taxCategory: 'S',
    taxRate: '20',
    taxExemptionReason: '',
    validFrom: '2026-01-01',
    forVisitKind: '',
    ...given,
  }
  return accepted(await addPriceItem(actor, price)).priceItemId
}

/** The ids of the drafts made of all that is unbilled through a month. */
export async function draftsThrough(actor: Actor, through: string, since = '2026-01'): Promise<string[]> {
  return accepted(await makeDrafts(actor, { ...fresh(actor), through, since })).invoiceIds
}

/** A draft of one free line. */
export async function makeFreeDraft(
  actor: Actor,
  clientId: string,
  line: { quantity?: string; unitPrice?: string; description?: string } = {},
): Promise<string> {
  const { invoiceId } = accepted(await startDraft(actor, { ...fresh(actor), clientId }))
  const free = { id: newId(), description: 'Advice', quantity: '1', unit: 'hour', unitPrice: '40', ...line }
  const taxed = {
    taxCategory: 'S' as const,
    taxRate: '20',
    taxExemptionReason: '',
    serviceStart: '2026-11-02',
    serviceEnd: '2026-11-02',
  }
  accepted(
    await editDraft(actor, { ...fresh(actor), invoiceId, purchaseOrder: '', note: '', lines: [{ ...free, ...taxed }] }),
  )
  return invoiceId
}

export function invoiceOf(actor: Actor, id: string) {
  return look(actor, (tx) =>
    tx.invoice.findUniqueOrThrow({
      where: { businessId_id: { businessId: actor.businessId, id } },
      include: { invoiceLines: { orderBy: { position: 'asc' } } },
    }),
  )
}

/** Issues a draft for what it adds up to. */
export async function issue(actor: Actor, invoiceId: string, issuedOn = '2026-11-25') {
  const { grossMinor } = await invoiceOf(actor, invoiceId)
  return issueInvoice(actor, {
    ...fresh(actor),
    invoiceId,
    issuedOn,
    expectedGrossMinor: grossMinor,
    earlierDayAccepted: false,
  })
}

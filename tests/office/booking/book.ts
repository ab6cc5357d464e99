import { newId } from '@/lib/new-id'
import { type BookVisitInput, bookVisitSchema } from '@/lib/office/booking/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { fresh, look } from '../clients/register'

/** A booking as a form would send it: Thursday 26 November 2026, 09:20 for 45 minutes. */
export function booking(actor: Actor, tankId: string, fields: Partial<BookVisitInput> = {}): BookVisitInput {
  const typed = {
    ...fresh(actor),
    tankId,
    kind: 'routine',
    date: '2026-11-26',
    technicianId: actor.personId,
    plannedStart: '09:20',
    plannedMinutes: '45',
    ...fields,
  }
  return bookVisitSchema.parse(typed)
}

/** A client's request for a visit, as the client's page leaves it. */
export function askForVisit(actor: Actor, tankId: string, words: string): Promise<string> {
  return look(actor, async (tx) => {
    const tank = await tx.tank.findUniqueOrThrow({
      where: { businessId_id: { businessId: actor.businessId, id: tankId } },
    })
    const { id } = await tx.visitRequest.create({
      data: {
        businessId: actor.businessId,
        id: newId(),
        clientId: tank.clientId,
        tankId,
        words,
        askedAt: new Date('2026-11-24T09:00:00Z'),
      },
    })
    return id
  })
}

export async function addTechnician(actor: Actor, name: string): Promise<string> {
  const id = newId()
  await look(actor, (tx) => tx.person.create({ data: { businessId: actor.businessId, id, name, isTechnician: true } }))
  return id
}

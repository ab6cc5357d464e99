import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'

/** An entry from a phone that was not taken over, and why; it is kept. */
export type RefusedEntry = {
  id: string
  kind: string
  madeAt: string
  receivedAt: string
  reason: string
  personName: string
}

const MOST = 200

/** The newest refused entries: one's own, and for the owner everybody's. */
export function listRefusedEntries(actor: Actor): Promise<RefusedEntry[]> {
  const { businessId } = actor
  const own = actor.roles.includes('owner') ? {} : { personId: actor.personId }
  return inBusiness(actor, async (tx) => {
    const commands = await tx.command.findMany({
      where: { businessId, status: 'refused', ...own },
      select: { id: true, kind: true, madeAt: true, receivedAt: true, reason: true, personId: true },
      orderBy: [{ receivedAt: 'desc' }, { id: 'desc' }],
      take: MOST,
    })
    const people = await tx.person.findMany({
      where: { businessId, id: { in: commands.map(({ personId }) => personId) } },
      select: { id: true, name: true },
    })
    const nameOf = new Map(people.map(({ id, name }) => [id, name]))
    return commands.map(({ personId, madeAt, receivedAt, ...entry }) => ({
      ...entry,
      madeAt: madeAt.toISOString(),
      receivedAt: receivedAt.toISOString(),
      personName: nameOf.get(personId) ?? '',
    }))
  })
}

import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'

export type OpenRequest = {
  id: string
  words: string
  askedAt: string
  askedBy: string
  tankId: string
  tankName: string
  siteName: string
  clientName: string
}

export type AnsweredRequest = OpenRequest & { state: string; answer: string; visitId: string | null }

/** How many of those already dealt with are shown below the open ones. */
const ANSWERED_SHOWN = 20
const OPEN_SHOWN = 200

/** Requests that wait, the oldest first, and the last few that were dealt with. */
export function requests(
  actor: Actor,
): Promise<{ open: OpenRequest[]; answered: AnsweredRequest[]; locale: string; timeZone: string }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { locale, timeZone } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: { locale: true, timeZone: true },
    })
    const select = {
      id: true,
      words: true,
      askedAt: true,
      state: true,
      answer: true,
      visitId: true,
      tankId: true,
      person: { select: { name: true } },
      client: { select: { name: true } },
      tank: { select: { name: true, site: { select: { name: true } } } },
    } as const
    const open = await tx.visitRequest.findMany({
      where: { businessId, state: 'open' },
      select,
      orderBy: [{ askedAt: 'asc' }, { id: 'asc' }],
      take: OPEN_SHOWN,
    })
    const answered = await tx.visitRequest.findMany({
      where: { businessId, state: { not: 'open' } },
      select,
      orderBy: [{ askedAt: 'desc' }, { id: 'desc' }],
      take: ANSWERED_SHOWN,
    })
    const shown = (row: (typeof open)[number]): AnsweredRequest => ({
      id: row.id,
      words: row.words,
      askedAt: row.askedAt.toISOString(),
      askedBy: row.person?.name ?? '',
      tankId: row.tankId,
      tankName: row.tank.name,
      siteName: row.tank.site.name,
      clientName: row.client.name,
      state: row.state,
      answer: row.answer,
      visitId: row.visitId,
    })
    return { open: open.map(shown), answered: answered.map(shown), locale, timeZone }
  })
}

import 'server-only'
import { defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { askForVisitSchema } from './schema'

/**
 * Asks for a visit to one of the client's own tanks. Refused for a tank that is not theirs now: the database would refuse it
 * too, by the key that joins request, client and tank. The same words again, while the first still wait, are not written twice.
 */
export const askForVisit = defineCommand(
  { kind: 'record.ask-for-visit', may: 'record.ask', schema: askForVisitSchema },
  async ({ tx, actor, commandId, madeAt }, input) => {
    const { businessId, clientId, personId } = actor
    const held = clientId
      ? await tx.tankClient.findFirst({ where: { businessId, clientId, tankId: input.tankId, until: null } })
      : null
    if (!held || !clientId)
      return refused('no-such-tank', 'This tank is no longer in your care with us. Reload the page.')
    const { tankId, words } = input
    // One after the other, so that two sent at the same moment are not both the first.
    await tx.$queryRaw`SELECT 1 AS locked FROM (SELECT pg_advisory_xact_lock(hashtextextended(${`ask ${businessId} ${tankId}`}, 0))) AS taken`
    const open = await tx.visitRequest.findMany({
      where: { businessId, clientId, tankId, state: 'open' },
      select: { words: true },
    })
    if (open.some((request) => sameWords(request.words, words)))
      return refused(
        'already-asked',
        'We have received these words already and will answer. Nothing was sent a second time; write what is new if something has changed.',
      )
    await tx.visitRequest.create({
      data: { businessId, id: commandId, clientId, tankId, personId, words, askedAt: madeAt, state: 'open' },
    })
    return done({ requestId: commandId })
  },
)

/** The same but for spaces and capitals. */
function sameWords(one: string, other: string): boolean {
  const plain = (text: string) => text.trim().replaceAll(/\s+/g, ' ').toLowerCase()
  return plain(one) === plain(other)
}

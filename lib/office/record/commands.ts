import 'server-only'
import type { Actor } from '../actor'
import { runCommand } from '../command'
import { done, type Result, refused } from '../result'
import type { AskForVisitInput } from './schema'

/**
 * Asks for a visit to one of the client's own tanks. Refused for a tank that is not theirs now: the database would refuse it
 * too, by the key that joins request, client and tank.
 */
export function askForVisit(
  actor: Actor,
  input: AskForVisitInput,
): Promise<Result<{ requestId: string }, 'no-such-tank'>> {
  const { businessId, clientId, personId } = actor
  return runCommand(
    actor,
    { id: input.commandId, kind: 'record.ask-for-visit', payload: { tankId: input.tankId, words: input.words } },
    async ({ tx, commandId, madeAt }) => {
      const held = clientId
        ? await tx.tankClient.findFirst({ where: { businessId, clientId, tankId: input.tankId, until: null } })
        : null
      if (!held || !clientId)
        return refused('no-such-tank', 'This tank is no longer in your care with us. Reload the page.')
      const { tankId, words } = input
      await tx.visitRequest.create({
        data: { businessId, id: commandId, clientId, tankId, personId, words, askedAt: madeAt, state: 'open' },
      })
      return done({ requestId: commandId })
    },
  )
}

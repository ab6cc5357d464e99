import 'server-only'
import { PHONE_SIGNS } from '@/lib/trade'
import { defineCommand } from '../frame/command'
import { done, invalid, refused } from '../frame/result'
import { logCallSchema, OTHER_SIGN } from './schema'

/** Writes a call down, as of now. It is never changed: what was told was told. */
export const logCall = defineCommand(
  { kind: 'call.log', may: 'visit.log', schema: logCallSchema },
  async ({ tx, actor, commandId, madeAt }, { tankId, sign, said, told, verdict }) => {
    const { businessId, personId } = actor
    if (sign !== OTHER_SIGN && !PHONE_SIGNS.includes(sign)) return invalid({ sign: ['What did they say? Choose one.'] })
    if (sign === OTHER_SIGN && said === '') return invalid({ said: ['What did they say? Write it in a few words.'] })
    const tank = await tx.tank.findFirst({
      where: { businessId, id: tankId, mergedIntoId: null },
      select: { id: true },
    })
    if (!tank) return refused('not-found', 'This tank is not in the register any more. Search for it again.')
    const row = { tankId, personId, sign, said, told, verdict, rangAt: madeAt }
    await tx.phoneCall.create({ data: { businessId, id: commandId, commandId, ...row } })
    return done({ tankId })
  },
)

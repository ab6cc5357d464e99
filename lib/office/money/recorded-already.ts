import 'server-only'
import type { CommandContext } from '../frame/command'
import { asDbDate } from '../frame/days'
import { refused } from '../frame/result'
import { dateInWords } from './dates-in-words'
import type { Payer } from './payer-lock'

type Typed = {
  amountMinor: number
  currency: string
  receivedOn: string
  reference: string
  secondAccepted?: boolean | undefined
}

/** The same amount of a client on the same day under the same reference: two people write one receipt down, or one does it twice. Asked about. */
export async function likeOneRecorded({ tx, actor }: CommandContext, payer: Payer, typed: Typed) {
  const { amountMinor, currency, receivedOn, reference, secondAccepted } = typed
  if (secondAccepted || amountMinor === 0) return null
  const recorded = await tx.payment.count({
    where: {
      ...{ businessId: actor.businessId, clientId: { in: payer.family }, amountMinor, currency },
      ...{ receivedOn: asDbDate(receivedOn), reference: { equals: reference, mode: 'insensitive' }, correctedBy: null },
    },
  })
  if (recorded === 0) return null
  const amount = payer.say(amountMinor, currency)
  return refused(
    'twice',
    `A payment of ${amount} on ${dateInWords(receivedOn)}${reference === '' ? '' : ` with the reference “${reference}”`} is recorded already. Say yes if a second one came in.`,
  )
}

import 'server-only'
import type { CommandContext } from '../frame/command'
import { addDays, dayIn } from '../frame/days'
import { refused } from '../frame/result'
import { dateInWords } from './dates-in-words'
import type { Payer } from './payer-lock'

const A_YEAR_DAYS = 366

/** A day of more than a year ago is more often a slip of the year than a payment. Asked about. */
export function longAgo(
  { madeAt }: CommandContext,
  payer: Payer,
  { receivedOn, longAgoAccepted }: { receivedOn: string; longAgoAccepted?: boolean | undefined },
) {
  if (longAgoAccepted || receivedOn >= addDays(dayIn(payer.timeZone, madeAt), -A_YEAR_DAYS)) return null
  return refused(
    'long-ago',
    `${dateInWords(receivedOn)} is more than a year ago. Say yes if the money came in on that day.`,
  )
}

import 'server-only'
import { todayOf } from '../frame/business-day'
import type { CommandContext } from '../frame/command'
import { addDays } from '../frame/days'
import { refused } from '../frame/result'

/** Whether a day has not come yet, give or take the zones of the world: a mistyped year would swallow all moves until then. */
export async function isAhead(context: CommandContext, day: string): Promise<boolean> {
  return day > addDays(await todayOf(context), 1)
}
export const NOT_YET = 'This day has not come yet.'

export const NO_PART = refused('not-found', 'This part is not in the list any more. Reload the page.')
export const NO_PLACE = refused('not-found', 'This place is not in use any more. Reload the page.')

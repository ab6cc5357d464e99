import 'server-only'
import { refused } from '../frame/result'

/** The same words for a row that is not there, is another business's or was taken back with its import. */
export function notThere(what: string) {
  return refused('not-found', `This ${what} is not in the register any more. Reload the page.`)
}

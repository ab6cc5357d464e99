/** A period as somebody asks for it in an address. Pure. */
import * as z from 'zod'

type Asked = { from?: string | undefined; to?: string | undefined }
/** `words`: why it cannot be shown, and nothing is asked then. */
export type AskedPeriod = Asked & { words: string | null }

const day = z.iso.date()
const wrong = (typed: string | undefined) => typed !== undefined && typed !== '' && !day.safeParse(typed).success

/** Days of the calendar in their order, or why not. A blank one is left open. @example readPeriod({ from: '2026-11-31' }).words */
export function readPeriod({ from, to }: Asked): AskedPeriod {
  const bad = [from, to].find(wrong)
  if (bad !== undefined) return { words: `${bad.slice(0, 20)} is not in the calendar. Choose another day.` }
  if (from && to && to < from) return { words: 'The period ends before it begins. Change one of the two days.' }
  return { ...(from ? { from } : {}), ...(to ? { to } : {}), words: null }
}

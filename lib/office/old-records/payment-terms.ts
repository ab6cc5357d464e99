/** "net 30", "on receipt", "14 days": days until an invoice is due. Pure. */
import { plainWords } from '../frame/plain-words'

const AT_ONCE = new Set([
  'on receipt',
  'due on receipt',
  'upon receipt',
  'at once',
  'immediate',
  'immediately',
  'cash',
  'cod',
])
const DAYS =
  /^(?:net|n|terms|within|due in|due within|netto)?\s*(\d{1,3})\s*(?:d|day|days|tage|tagen|jours|dagen|dias|giorni)?(?:\s*net)?$/
const WEEKS = /^(\d{1,2})\s*(?:weeks?|wks?)$/

export type Terms = { ok: true; paymentDays: number | null } | { ok: false; reason: string }

/** Blank means that nothing was agreed (null). Domain: 0 to 365 days. */
export function parsePaymentTerms(text: string): Terms {
  const words = plainWords(text)
  if (words === '') return { ok: true, paymentDays: null }
  if (AT_ONCE.has(words)) return { ok: true, paymentDays: 0 }
  const days = DAYS.exec(words)?.[1]
  const weeks = WEEKS.exec(words)?.[1]
  const paymentDays = days !== undefined ? Number(days) : weeks !== undefined ? Number(weeks) * 7 : null
  if (paymentDays === null || paymentDays > 365)
    return { ok: false, reason: `the payment terms “${text.trim()}” are not understood; write a number of days` }
  return { ok: true, paymentDays }
}

/** Calendar months, written "2026-11". */

/** Number of a month since year 0, so that months can be counted. Errors: RangeError when it is no month. */
function monthNumber(month: string): number {
  const match = /^(\d{4})-(0[1-9]|1[0-2])$/.exec(month)
  if (!match) throw new RangeError(`not a month: "${month}"`)
  return Number(match[1]) * 12 + Number(match[2]) - 1
}

function monthText(number: number): string {
  return `${String(Math.floor(number / 12)).padStart(4, '0')}-${String((number % 12) + 1).padStart(2, '0')}`
}

export const monthOf = (isoDate: string): string => isoDate.slice(0, 7)
export const firstDay = (month: string): string => `${month}-01`

/** Last day of a month, leap years by the Gregorian rule. @example lastDay('2028-02') // '2028-02-29' */
export function lastDay(month: string): string {
  const number = monthNumber(month)
  const days = new Date(Date.UTC(Math.floor(number / 12), (number % 12) + 1, 0)).getUTCDate()
  return `${month}-${String(days).padStart(2, '0')}`
}

/** All days of a month. */
export function daysOfMonth(month: string): string[] {
  const days = Number(lastDay(month).slice(-2))
  return Array.from({ length: days }, (_, index) => `${month}-${String(index + 1).padStart(2, '0')}`)
}

/** The month after. @example monthAfter('2026-12') // '2027-01' */
export const monthAfter = (month: string): string => monthText(monthNumber(month) + 1)

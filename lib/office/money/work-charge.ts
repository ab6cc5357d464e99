/**
 * A visit or a part as a charge: what it costs by the price list and the lines that say so. Pure; dates ISO, minor units.
 *
 * Habits behind it (common practice, no source): a monthly fee covers the agreed visits; parts and call-outs come on top; a return
 * check of our own work is not billed; a visit refused at the door is billed where the agreement says so.
 */
import type { Charge } from './charge'
import { dayAndShortMonth } from './dates-in-words'
import type { DecimalInput, TaxTreatment } from './tax'
import { furtherSteps, type TimeRate } from './time-rate'
import { lineNetMinor } from './totals'

/** A tax treatment with the days it holds for, both ends included; null for open. */
export type DatedTax = TaxTreatment & { validFrom: string | null; validTo: string | null }

/** What all that can be billed shares: for whom and where it was done, in what currency, on whose order, how taxed. */
export type Billable = {
  id: string
  payerId: string
  /** Tank and place as the client knows them, "Hall". */
  placeName: string
  tankId: string | null
  currency: string
  /** How its line writes money, where it names some; the business's. */
  locale?: string
  purchaseOrder: string | null
  /** Null when nobody has chosen one yet; named as a problem. */
  tax: DatedTax | null
}

export type VisitToBill = Billable & {
  /** ISO date at the site. */
  date: string
  kind: 'routine' | 'call_out' | 'installation' | 'return_check'
  outcome: 'done' | 'cut_short' | 'no_access'
  /** Whether a monthly fee covered the tank on that day. */
  hasFee: boolean
  /** Whether the agreement lets a visit refused at the door be billed. */
  billNoAccess: boolean
  /** What it was about, "skimmer"; empty text when nothing to add. */
  subject: string
  /** 0 when nobody wrote it down. */
  minutes: number
  outOfHours: boolean
  /** From the price list; null when the list has no rate for this kind. */
  rate: TimeRate | null
}

export type PartToBill = Billable & {
  date: string
  name: string
  quantity: DecimalInput
  /** False for what the fee or a warranty includes. */
  billable: boolean
  /** The entry of the price list it was taken from. */
  priceItemId: string | null
  unit: string
  /** Null when the price list does not know it. */
  unitPrice: DecimalInput | null
}

/** What a line says and costs. */
export type PricedLine = { description: string; quantity: string; unit: string; unitPrice: DecimalInput }

const VISIT_WORDS: Record<VisitToBill['kind'], string> = {
  routine: 'Visit',
  call_out: 'Call-out',
  installation: 'Installation',
  return_check: 'Return check',
}

/** "Call-out 18 Nov". */
export const visitInWords = ({ kind, date }: Pick<VisitToBill, 'kind' | 'date'>) =>
  `${VISIT_WORDS[kind]} ${dayAndShortMonth(date)}`

/** Whether the visit costs nothing by itself, whatever the price list says. */
function isIncluded({ kind, outcome, hasFee, billNoAccess }: VisitToBill): boolean {
  if (kind === 'return_check' || (kind === 'routine' && hasFee)) return true
  return outcome === 'no_access' && !billNoAccess
}

/** What the price of a visit rests on; `charge-rows.ts` says the same in SQL. */
function visitFacts(visit: VisitToBill): string {
  return [
    visit.kind,
    visit.outcome,
    visit.minutes,
    visit.outOfHours ? 'out_of_hours' : '',
    visit.kind === 'routine' && visit.hasFee ? 'covered' : '',
    visit.outcome === 'no_access' && visit.billNoAccess ? 'billed' : '',
  ]
    .filter((fact) => fact !== '')
    .join(' ')
}

/** The lines of a visit: the first stretch, and the time after it. None where it is included; null where it has no price. */
export function visitLines(visit: VisitToBill): PricedLine[] | null {
  if (isIncluded(visit)) return []
  if (visit.rate === null) return null
  const refused = visit.outcome === 'no_access'
  const what = visitInWords(visit)
  const about = [visit.subject, visit.outOfHours ? 'out of hours' : '', refused ? 'no access' : ''].filter(
    (text) => text !== '',
  )
  const time = refused || visit.minutes === 0 ? [] : [`${visit.minutes} min`]
  const first = {
    description: [what, ...about, ...time].join(', '),
    quantity: '1',
    unit: '',
    unitPrice: visit.rate.firstPrice,
  }
  const steps = refused ? 0 : furtherSteps(visit.minutes, visit.rate)
  if (steps === 0) return [first]
  const { firstMinutes, stepMinutes, stepPrice } = visit.rate
  const description = `${what}, time after the first ${firstMinutes} min, in steps of ${stepMinutes} min`
  return [first, { description, quantity: String(steps), unit: '', unitPrice: stepPrice }]
}

/** What the price of a part rests on; `charge-rows.ts` says the same in SQL. */
function partFacts({ quantity, billable, priceItemId, name }: PartToBill): string {
  return `${typeof quantity === 'string' ? quantity : quantity.toFixed()} ${billable} ${priceItemId ?? name}`
}

export function partLines(part: PartToBill): PricedLine[] | null {
  if (!part.billable || Number(part.quantity) <= 0) return []
  if (part.unitPrice === null) return null
  const quantity = typeof part.quantity === 'string' ? part.quantity : part.quantity.toFixed()
  return [{ description: part.name, quantity, unit: part.unit, unitPrice: part.unitPrice }]
}

/** What lines cost together, each rounded once. */
export function costMinor(lines: readonly PricedLine[], currency: string): number {
  const tax = { category: 'Z', ratePercent: '0' } as const // nets do not depend on it
  return lines.reduce((sum, line) => sum + lineNetMinor({ ...line, tax }, currency), 0)
}

function workCharge(
  kind: 'visit' | 'part',
  of: Billable & { date: string },
  facts: string,
  lines: PricedLine[] | null,
): Charge {
  const { id: subjectId, payerId, date, currency } = of
  const dueMinor = costMinor(lines ?? [], currency)
  const shares = lines === null ? null : lines.length === 0 ? [] : [{ payerId, dueMinor, from: date, to: date }]
  return { kind, subjectId, period: '', facts, shares }
}

export const visitCharge = (visit: VisitToBill): Charge =>
  workCharge('visit', visit, visitFacts(visit), visitLines(visit))

export const partCharge = (part: PartToBill): Charge => workCharge('part', part, partFacts(part), partLines(part))

/**
 * From what was done and not yet billed to the lines of draft invoices: agreement fees by whole months, call-outs and
 * other visits at price-list rates by minutes, parts. Pure: the caller reads the rows and stores the drafts.
 *
 * Habits behind it (common practice, no source): a monthly fee covers the agreed visits; parts and call-outs come on top;
 * a return check of our own work is not billed; a visit refused at the door is billed where the agreement says so.
 */
import { countInWords, dayAndShortMonth, daysInWords } from './dates-in-words'
import { billableMonths, firstDay, lastDay, monthBefore } from './months'
import type { DecimalInput, TaxTreatment } from './tax'
import { furtherSteps, type TimeRate } from './time-rate'

/** A tax treatment with the days it holds for, both ends included; null for open. */
export type DatedTax = TaxTreatment & { validFrom: string | null; validTo: string | null }

/** What all unbilled things share: who pays, for which place, in what currency, on whose order. */
type Billable = {
  id: string
  payerId: string
  /** Tank and place as the client knows them, "Hall". */
  placeName: string
  tankId: string | null
  currency: string
  purchaseOrder: string | null
  /** Null when nobody has chosen one yet; named as a problem. */
  tax: DatedTax | null
}

export type AgreementToBill = Billable & {
  startsOn: string
  endsOn: string | null
  /** Last month billed, "2026-10", or null. */
  billedThrough: string | null
  monthlyFee: DecimalInput
}

export type VisitToBill = Billable & {
  /** ISO date at the site. */
  date: string
  kind: 'routine' | 'call_out' | 'installation' | 'return_check'
  outcome: 'done' | 'cut_short' | 'no_access'
  /** The agreement whose fee covers it, or null. */
  agreementId: string | null
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
  unit: string
  /** Null when the price list does not know it. */
  unitPrice: DecimalInput | null
}

export type Payer = { id: string; name: string; needsPurchaseOrder: boolean }

export type UnbilledWork = {
  /** Bill agreements up to and with this month, "2026-11". */
  through: string
  payers: readonly Payer[]
  agreements: readonly AgreementToBill[]
  visits: readonly VisitToBill[]
  parts: readonly PartToBill[]
}

export type LineSource = { kind: 'agreement'; id: string; months: string[] } | { kind: 'visit' | 'part'; id: string }

export type ProposedLine = {
  /** What this line bills, so that issuing it can mark them; a covered visit hangs on the agreement's line. */
  sources: LineSource[]
  description: string
  placeName: string
  tankId: string | null
  quantity: DecimalInput
  unit: string
  unitPrice: DecimalInput
  tax: TaxTreatment | null
  /** Since when that treatment holds, where the price list says so. */
  taxValidFrom: string | null
  serviceStart: string
  serviceEnd: string
}

export type DraftProblem = {
  code: 'purchase-order-missing' | 'tax-missing' | 'tax-out-of-date' | 'rate-missing' | 'part-month' | 'payer-unknown'
  /** A part month is a question, the rest must be put right before the draft can be issued. */
  blocking: boolean
  message: string
}

export type DraftProposal = {
  payerId: string
  currency: string
  purchaseOrder: string | null
  lines: ProposedLine[]
  problems: DraftProblem[]
  serviceStart: string
  serviceEnd: string
}

type Piece = { of: Billable; order: number; line: ProposedLine | null; problems: DraftProblem[] }

const VISIT_WORDS: Record<VisitToBill['kind'], string> = {
  routine: 'Visit',
  call_out: 'Call-out',
  installation: 'Installation',
  return_check: 'Return check',
}

function taxFor(
  of: Billable,
  description: string,
  serviceEnd: string,
): { tax: TaxTreatment | null; problems: DraftProblem[] } {
  if (of.tax === null) {
    const message = `No tax rate is set for “${description}”. Choose one on the line or in the price list.`
    return { tax: null, problems: [{ code: 'tax-missing', blocking: true, message }] }
  }
  const { validFrom, validTo, ...tax } = of.tax
  const outOfDate = (validFrom !== null && serviceEnd < validFrom) || (validTo !== null && serviceEnd > validTo)
  if (!outOfDate) return { tax, problems: [] }
  const message = `The tax rate of “${description}” does not hold on ${dayAndShortMonth(serviceEnd)}. Choose the rate of that day.`
  return { tax, problems: [{ code: 'tax-out-of-date', blocking: true, message }] }
}

function makePiece(
  of: Billable,
  order: number,
  parts: Omit<ProposedLine, 'tax' | 'taxValidFrom' | 'placeName' | 'tankId'>,
): Piece {
  const { tax, problems } = taxFor(of, parts.description, parts.serviceEnd)
  const taxValidFrom = of.tax?.validFrom ?? null
  return { of, order, line: { ...parts, placeName: of.placeName, tankId: of.tankId, tax, taxValidFrom }, problems }
}

function visitsInWords(visits: readonly VisitToBill[]): string {
  const made = visits.filter((visit) => visit.outcome !== 'no_access')
  const refused = visits.filter((visit) => visit.outcome === 'no_access')
  const dates = (some: readonly VisitToBill[]) => daysInWords(some.map((visit) => visit.date))
  const words = [`${countInWords(made.length, 'visit', 'visits')}${made.length > 0 ? ` (${dates(made)})` : ''}`]
  if (refused.length > 0) words.push(`no access ${dates(refused)}`)
  return words.join(', ')
}

function agreementPieces(agreement: AgreementToBill, covered: readonly VisitToBill[], through: string): Piece[] {
  const { months, partMonths } = billableMonths({ ...agreement, through })
  // Asked about while it is fresh: this month's and last month's. Older ones were settled by hand, or nobody wanted money.
  const fresh = partMonths.filter((month) => month >= monthBefore(through))
  const problems = fresh.map((month): DraftProblem => {
    const message = `The agreement at ${agreement.placeName} covers only a part of ${month}; that month is not on the draft. Add a line if you agreed on one.`
    return { code: 'part-month', blocking: false, message }
  })
  const first = months[0]
  const last = months.at(-1)
  const question: Piece[] = problems.length > 0 ? [{ of: agreement, order: 0, line: null, problems }] : []
  if (first === undefined || last === undefined) return question
  const named = covered.filter((visit) => visit.date >= firstDay(first) && visit.date <= lastDay(last))
  const line = makePiece(agreement, 0, {
    sources: [
      { kind: 'agreement', id: agreement.id, months },
      ...named.map(({ id }) => ({ kind: 'visit' as const, id })),
    ],
    description: `Agreement, ${visitsInWords(named)}`,
    quantity: String(months.length),
    unit: months.length === 1 ? 'month' : 'months',
    unitPrice: agreement.monthlyFee,
    serviceStart: firstDay(first),
    serviceEnd: lastDay(last),
  })
  return [line, ...question]
}

function visitPieces(visit: VisitToBill): Piece[] {
  const refused = visit.outcome === 'no_access'
  if (visit.kind === 'return_check' || (refused && !visit.billNoAccess)) return []
  const what = `${VISIT_WORDS[visit.kind]} ${dayAndShortMonth(visit.date)}`
  const about = [visit.subject, visit.outOfHours ? 'out of hours' : '', refused ? 'no access' : ''].filter(
    (text) => text !== '',
  )
  if (visit.rate === null) {
    const message = `The price list has no rate for “${what}”. Add one, or write the line by hand.`
    return [{ of: visit, order: 1, line: null, problems: [{ code: 'rate-missing', blocking: true, message }] }]
  }
  const common = { serviceStart: visit.date, serviceEnd: visit.date }
  const sources: LineSource[] = [{ kind: 'visit', id: visit.id }]
  const steps = refused ? 0 : furtherSteps(visit.minutes, visit.rate)
  const first = makePiece(visit, 1, {
    sources,
    description: [what, ...about, ...(refused || visit.minutes === 0 ? [] : [`${visit.minutes} min`])].join(', '),
    quantity: '1',
    unit: '',
    unitPrice: visit.rate.firstPrice,
    ...common,
  })
  if (steps === 0) return [first]
  const further = makePiece(visit, 1, {
    sources,
    description: `${what}, time after the first ${visit.rate.firstMinutes} min, in steps of ${visit.rate.stepMinutes} min`,
    quantity: String(steps),
    unit: '',
    unitPrice: visit.rate.stepPrice,
    ...common,
  })
  return [first, { ...further, problems: [] }] // the same tax, already named once
}

function partPiece(part: PartToBill): Piece {
  if (part.unitPrice === null) {
    const message = `The price list has no price for “${part.name}”. Add one under that name, or write the line by hand.`
    return { of: part, order: 2, line: null, problems: [{ code: 'rate-missing', blocking: true, message }] }
  }
  return makePiece(part, 2, {
    sources: [{ kind: 'part', id: part.id }],
    description: part.name,
    quantity: part.quantity,
    unit: part.unit,
    unitPrice: part.unitPrice,
    serviceStart: part.date,
    serviceEnd: part.date,
  })
}

const groupKey = (of: Billable) => JSON.stringify([of.payerId, of.currency, of.purchaseOrder ?? ''])

function inPrintOrder(first: Piece, second: Piece): number {
  const key = ({ order, of, line }: Piece) => `${order} ${line?.serviceStart ?? ''} ${of.placeName} ${of.id}`
  return first.order - second.order || (key(first) < key(second) ? -1 : key(first) > key(second) ? 1 : 0)
}

function makeProposal(pieces: readonly Piece[], payers: readonly Payer[]): DraftProposal | null {
  const of = pieces[0]?.of
  if (!of) return null
  const lines = pieces.flatMap((piece) => (piece.line ? [piece.line] : []))
  const problems = pieces.flatMap((piece) => piece.problems)
  const payer = payers.find(({ id }) => id === of.payerId)
  if (!payer) {
    const message = `Who pays for ${of.placeName} is not set. Choose the payer on the site.`
    problems.unshift({ code: 'payer-unknown', blocking: true, message })
  } else if (payer.needsPurchaseOrder && (of.purchaseOrder ?? '').trim() === '') {
    const message = `${payer.name} wants a purchase order number on its invoices. Ask for it, then write it on the draft.`
    problems.unshift({ code: 'purchase-order-missing', blocking: true, message })
  }
  const starts = lines.map((line) => line.serviceStart).sort()
  const ends = lines.map((line) => line.serviceEnd).sort()
  return {
    payerId: of.payerId,
    currency: of.currency,
    purchaseOrder: of.purchaseOrder,
    lines,
    problems,
    serviceStart: starts[0] ?? '',
    serviceEnd: ends.at(-1) ?? '',
  }
}

/**
 * Draft invoices for everything unbilled: one for each payer, currency and purchase order, with lines in print order
 * (agreements, visits, parts; each by date) and what stands in the way of issuing in plain words. A draft may hold
 * problems and no line, so that work nobody can price is not forgotten. The order of the input does not matter.
 * Errors: RangeError on a malformed date or month.
 */
export function proposeDrafts(work: UnbilledWork): DraftProposal[] {
  const visits = [...work.visits].sort((a, b) => (`${a.date} ${a.id}` < `${b.date} ${b.id}` ? -1 : 1))
  const covered = (agreement: AgreementToBill) =>
    visits.filter((visit) => visit.kind === 'routine' && visit.agreementId === agreement.id)
  // Covered by an agreement is covered, also by one whose month is billed already and which is not in the list.
  const onTop = visits.filter((visit) => visit.kind !== 'routine' || visit.agreementId === null)
  const pieces = [
    ...work.agreements.flatMap((agreement) => agreementPieces(agreement, covered(agreement), work.through)),
    ...onTop.flatMap(visitPieces),
    ...work.parts.map(partPiece),
  ].sort(inPrintOrder)
  const groups = new Map<string, Piece[]>()
  for (const piece of pieces) groups.set(groupKey(piece.of), [...(groups.get(groupKey(piece.of)) ?? []), piece])
  return [...groups.keys()].sort().flatMap((key) => makeProposal(groups.get(key) ?? [], work.payers) ?? [])
}

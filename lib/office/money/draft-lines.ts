/**
 * From what is open of the charges to the lines of draft invoices. Pure: the caller reads the rows and stores the drafts.
 *
 * Months that follow one another at one fee share a line; a visit has a line for its first stretch and one for the time after it. What
 * was billed in part already (a correction, a credit that reopened some of it) is one line of the rest.
 */
import { minorToDecimalText } from './currency'
import {
  DIFFERENCE,
  type DraftProposal,
  groupKey,
  type MonthToBill,
  makePiece,
  type OpenWork,
  type Payer,
  type Piece,
  settled,
  type ToBill,
} from './draft-pieces'
import { monthPieces } from './month-lines'
import type { ChargeStanding } from './settle-charge'
import { type Billable, costMinor, type PricedLine, partLines, visitInWords, visitLines } from './work-charge'

type Work = { what: string; order: number; serviceStart: string; serviceEnd: string; unpriced: string }

/** What is open of a visit, a part or a line by hand: its own lines, or one line of the rest. */
function workPieces(of: Billable, standing: ChargeStanding, lines: PricedLine[] | null, work: Work): Piece[] {
  const { order, serviceStart, serviceEnd } = work
  if (lines === null) {
    if (standing.waived !== null || !standing.isFresh) return []
    return [{ of, order, line: null, problems: [{ code: 'rate-missing', blocking: true, message: work.unpriced }] }]
  }
  const openMinor = standing.payers.reduce((sum, payer) => sum + payer.openMinor, 0)
  const dueMinor = costMinor(lines, of.currency)
  const isGift = lines.length > 0 && dueMinor === 0 && standing.lines.length === 0 && standing.waived === null
  if (openMinor === 0 && !isGift) return []
  if (!standing.isFresh || openMinor !== dueMinor) {
    const unitPrice = minorToDecimalText(openMinor, of.currency)
    const description = `${work.what}, ${DIFFERENCE}`
    const charges = [settled(standing, openMinor)]
    return [
      makePiece(of, order, { charges, description, quantity: '1', unit: '', unitPrice, serviceStart, serviceEnd }),
    ]
  }
  return lines.map((line, place) => {
    const charges = [settled(standing, costMinor([line], of.currency))]
    const piece = makePiece(of, order, { ...line, charges, serviceStart, serviceEnd })
    return place === 0 ? piece : { ...piece, problems: [] } // the same tax, already named once
  })
}

function piecesOf(item: Exclude<ToBill, MonthToBill>): Piece[] {
  const { standing } = item
  switch (item.of) {
    case 'visit': {
      const { visit } = item
      const what = visitInWords(visit)
      const unpriced = `The price list has no rate for “${what}”. Add one, or write the line by hand.`
      const days = { serviceStart: visit.date, serviceEnd: visit.date }
      return workPieces(visit, standing, visitLines(visit), { what, order: 1, unpriced, ...days })
    }
    case 'part': {
      const { part } = item
      const unpriced = `The price list has no price for “${part.name}”. Add one under that name, or write the line by hand.`
      const days = { serviceStart: part.date, serviceEnd: part.date }
      return workPieces(part, standing, partLines(part), { what: part.name, order: 2, unpriced, ...days })
    }
    case 'hand': {
      const { serviceStart, serviceEnd, description, quantity, unit, unitPrice } = item.line
      const lines = [{ description, quantity, unit, unitPrice }]
      return workPieces(item.line, standing, lines, {
        what: description,
        order: 3,
        unpriced: '',
        serviceStart,
        serviceEnd,
      })
    }
  }
}

function inPrintOrder(first: Piece, second: Piece): number {
  const key = ({ order, of, line }: Piece) => `${order} ${line?.serviceStart ?? ''} ${of.placeName} ${of.id}`
  return first.order - second.order || (key(first) < key(second) ? -1 : key(first) > key(second) ? 1 : 0)
}

function makeProposal(pieces: readonly Piece[], payers: ReadonlyMap<string, Payer>): DraftProposal | null {
  const of = pieces[0]?.of
  if (!of) return null
  const lines = pieces.flatMap((piece) => (piece.line ? [piece.line] : []))
  const problems = pieces.flatMap((piece) => piece.problems)
  const payer = payers.get(of.payerId)
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
 * Draft invoices for everything open: one for each payer, currency and purchase order, with lines in print order (months, visits,
 * parts, lines by hand; each by date) and what stands in the way of issuing in plain words. A draft may hold problems and no line, so
 * that work nobody can price is not forgotten. What stands on a draft already is left to it. The order of the input does not matter.
 * Errors: RangeError on a malformed date or month.
 */
export function proposeDrafts({ items, payers }: OpenWork): DraftProposal[] {
  const free = items.filter(({ standing }) => standing.draftId === null)
  const pieces = [
    ...monthPieces(free.filter((item) => item.of === 'month')),
    ...free.flatMap((item) => (item.of === 'month' ? [] : piecesOf(item))),
  ].sort(inPrintOrder)
  const groups = new Map<string, Piece[]>()
  for (const piece of pieces) {
    const group = groups.get(groupKey(piece.of))
    if (group) group.push(piece)
    else groups.set(groupKey(piece.of), [piece])
  }
  const byId = new Map(payers.map((payer) => [payer.id, payer]))
  return [...groups.keys()].sort().flatMap((key) => makeProposal(groups.get(key) ?? [], byId) ?? [])
}

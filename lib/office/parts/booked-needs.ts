import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { addDays } from '../frame/days'
import { answerTo, type Question, type StoredAnswers } from '../frame/stored-answer'
import { arrivalDay } from './arrival-day'
import { visitsWithNeeds } from './needs'
import { type BookWithDue, expectedDay, type PartsBook, readBookWithDue } from './parts-book'
import { findShortages, type Shortage, type Supply } from './shortages'

/** Visits of the next two weeks are looked at: far enough ahead to order or to move one. */
const WARN_DAYS = 14

export type NamedShortage = Shortage & {
  partName: string
  unit: string
  onHand: number
  /** Next arrival too late for this visit, or none. */
  nextArrival: { on: string | null; quantity: number } | null
  /** When it would come if it were ordered today. */
  orderedTodayOn: string
}

/** So many are named, the soonest first; the rest waits behind them. */
const SHORTAGES_NAMED = 25

/** Booked visits of the next two weeks that will more likely than not lack a part, as the book stands. */
export const PART_SHORTAGES: Question<NamedShortage[]> = {
  name: 'part-shortages',
  shape: 1,
  freshForMs: 2 * 60_000,
  workOut: async (tx, businessId, now) => {
    if ((await tx.partFit.count({ where: { businessId, part: { archivedAt: null } } })) === 0) return []
    return shortagesOf(tx, await readBookWithDue(tx, businessId, now))
  },
}

/** The answer to it; null: not worked out yet. */
export async function shortagesAhead(
  tx: Transaction,
  businessId: string,
  now: Date,
  stored?: StoredAnswers,
): Promise<NamedShortage[] | null> {
  return (await answerTo(tx, businessId, PART_SHORTAGES, now, { ...(stored && { stored }) }))?.answer ?? null
}

async function shortagesOf(tx: Transaction, book: BookWithDue): Promise<NamedShortage[]> {
  const { businessId, today, todayDay, dueParts } = book
  // Without any place nothing is kept, and everything would be missing.
  if (book.places.length === 0) return []
  const visits = await visitsWithNeeds(
    tx,
    businessId,
    { from: today, to: addDays(today, WARN_DAYS) },
    dueParts,
    todayDay,
  )
  const names = new Map(book.parts.map((part) => [part.id, part]))
  return findShortages(visits, (partId) => supplyOf(book, partId))
    .slice(0, SHORTAGES_NAMED)
    .map((shortage) => {
      const part = names.get(shortage.partId)
      const { coming, onHand } = supplyOf(book, shortage.partId)
      const late = coming.find(({ on }) => on === null || on >= shortage.visit.on) ?? null
      return {
        ...shortage,
        partName: part?.name ?? '',
        unit: part?.unit ?? '',
        onHand,
        nextArrival: late,
        orderedTodayOn: arrivalDay(today, part?.leadTimeDays ?? 0),
      }
    })
}

function supplyOf(book: PartsBook, partId: string): Supply {
  return {
    onHand: book.available(partId),
    coming: book.orders
      .filter((order) => order.partId === partId)
      .map((order) => ({ on: notYetPast(expectedDay(order), book.today), quantity: order.left })),
  }
}

/** What should have come by now and has not: nobody knows when it will. */
function notYetPast(expected: string | null, today: string): string | null {
  return expected !== null && expected < today ? null : expected
}

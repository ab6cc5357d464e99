import { NEEDS_OVER_TIME } from '@/lib/office/faults/over-time'
import { PEOPLE_COMPARISON } from '@/lib/office/faults/people'
import { CADENCE_LIST } from '@/lib/office/how-often/queries'
import { ROUTE_GAPS } from '@/lib/office/how-often/read-gaps'
import { LEARNED_PAIRS } from '@/lib/office/learned/queries'
import { LOT_FINDINGS } from '@/lib/office/lots/read-shifts'
import { UNBILLED } from '@/lib/office/money/unbilled-list'
import { PART_SHORTAGES } from '@/lib/office/parts/booked-needs'
import { PART_OUTLOOKS } from '@/lib/office/parts/outlook'
import { PARTS_USED } from '@/lib/office/parts/parts-used'
import { SHORT_REFILLS } from '@/lib/office/refills/queries'
import { DANGEROUS_WATER } from '@/lib/office/today/dangerous-readings'

/** What the worker works out of all of a large business, each night and when a page asks for it anew. */
export const QUESTIONS = [
  PART_SHORTAGES,
  PART_OUTLOOKS,
  PARTS_USED,
  SHORT_REFILLS,
  LOT_FINDINGS,
  PEOPLE_COMPARISON,
  NEEDS_OVER_TIME,
  LEARNED_PAIRS,
  ROUTE_GAPS,
  CADENCE_LIST,
  UNBILLED,
  DANGEROUS_WATER,
] as const

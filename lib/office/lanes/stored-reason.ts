import { z } from 'zod'
import type { DueDraft } from './due-items'

const savingSchema = z.object({ mean: z.number(), lower: z.number(), upper: z.number(), chance: z.number() })

/** What `due_item.reason` holds, read back; Infinity stands as null. Money in minor units a year, times in days. */
export const storedReasonSchema = z.object({
  rule: z.enum([
    'need-open',
    'age-limit',
    'wears',
    'cheapest',
    'run-to-failure',
    'age-unknown',
    'never-seen',
    'not-watched',
  ]),
  words: z.string(),
  clientWords: z.string(),
  lookByDay: z.number().nullable(),
  band: z.array(z.object({ day: z.number(), probability: z.number() })),
  medianDays: z.number(),
  costPerYear: z.number(),
  costPerYearWaiting: z.number(),
  costs: z.object({
    planned: z.number(),
    found: z.number(),
    callOut: z.number(),
    hiddenCostPerDay: z.number(),
    shareReported: z.number(),
  }),
  model: z.object({
    shape: z.number(),
    scaleDays: z.number(),
    source: z.string(),
    /** Absent in one of an earlier day. */
    spread: z.object({ shared: z.number(), own: z.number() }).optional(),
  }),
  visitEveryDays: z.number(),
  interval: z.object({
    source: z.enum(['accepted', 'start']),
    cheapestDays: z.number().nullable(),
    costPerYearCheapest: z.number(),
    /** What was done so far: null = only when needed; absent = too little was renewed to tell. */
    habitDays: z.number().nullable().optional(),
    savingOnHabit: savingSchema.nullable(),
  }),
  /** How many needs the share reported was learned from. */
  shareOf: z.object({ reported: z.number(), needs: z.number() }),
})
export type StoredReason = z.infer<typeof storedReasonSchema>

/** What `due_item.proposal` holds, where there is one. */
export const storedProposalSchema = z.object({
  intervalDays: z.number().nullable(),
  formerDays: z.number().nullable(),
  saving: savingSchema,
})

/** A hundredth of a hundredth is more than anybody knows of a spread; stored short. */
const rounded = (spread: number) => Number(spread.toFixed(4))

/** A draft → what is stored as its reason. */
export function reasonOf(draft: DueDraft): StoredReason {
  const { due, costs, model, visitEveryDays, advice, intervalSource, habitDays, shareOf } = draft
  const { rule, reason: words, clientWords, lookByDay, band, medianDays, costPerYear, costPerYearWaiting } = due
  const finite = (days: number) => (Number.isFinite(days) ? days : null)
  return {
    ...{ rule, words, clientWords, lookByDay, band, medianDays, costPerYear, costPerYearWaiting, costs },
    model: {
      ...{ shape: model.shape, scaleDays: model.scaleDays, source: model.source },
      spread: { shared: rounded(model.spread.shared), own: rounded(model.spread.own) },
    },
    visitEveryDays,
    interval: {
      source: intervalSource,
      cheapestDays: finite(advice.cheapestDays),
      costPerYearCheapest: advice.costPerYearCheapest,
      ...(habitDays === undefined ? {} : { habitDays: finite(habitDays) }),
      savingOnHabit: advice.savingOnHabit,
    },
    shareOf,
  }
}

/** What `lane.lives` holds. */
export const storedLivesSchema = z.array(
  z.object({
    start: z.number(),
    end: z.number(),
    lower: z.number(),
    upper: z.number().nullable(),
    truncatedAt: z.number().optional(),
    event: z.boolean(),
    unknownAge: z.object({ lower: z.number(), upper: z.number().nullable() }).optional(),
    lookAges: z.array(z.number()),
  }),
)

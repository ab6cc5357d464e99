import { z } from 'zod'

/** What `due_item.reason` holds, read back; the write is in `store-derived.ts`. */
export const storedReasonSchema = z.object({
  rule: z.enum(['need-open', 'age-limit', 'cheapest', 'run-to-failure', 'age-unknown', 'never-seen', 'not-watched']),
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
  model: z.object({ shape: z.number(), scaleDays: z.number(), source: z.string() }),
  visitEveryDays: z.number(),
})
export type StoredReason = z.infer<typeof storedReasonSchema>

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

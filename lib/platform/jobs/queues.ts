/**
 * The job queues. A payload holds ids only. Policies are pg-boss's: `short` keeps at most one waiting job per key (the
 * business), so asking twice for the same work while it waits is one piece of work; `singleton` at most one at work.
 */
export const QUEUES = {
  /** Every hour: asks for a refit for each business where the night's hour has come. */
  nightly: { policy: 'short', retryLimit: 1, expireInSeconds: 10 * 60 },
  /** Pooled fit of all lives of a business, then everything derived from it. Nightly and after an import. */
  'refit-life-models': { policy: 'short', retryLimit: 2, expireInSeconds: 60 * 60 },
  /** Lanes, due items and repeat faults again from what happened, at the present model version. */
  'rebuild-derived': { policy: 'short', retryLimit: 2, expireInSeconds: 60 * 60 },
  /** Lanes that were marked while all of them were made again, or by a change of what care costs. */
  'recompute-stale-lanes': { policy: 'short', retryLimit: 2, expireInSeconds: 60 * 60 },
  /** Ranks of repeat faults after visits to a large business; what is asked for within ten minutes is done at once. */
  'rank-faults': { policy: 'short', retryLimit: 2, expireInSeconds: 15 * 60, delaySeconds: 10 * 60 },
  /** One question about a whole business worked out and stored; asking twice while it waits is one piece of work. */
  'work-out-answer': { policy: 'short', retryLimit: 1, expireInSeconds: 15 * 60 },
  /** One mail: reset of a password, an invitation, a visit report. Each is its own piece of work. */
  'send-mail': { policy: 'standard', retryLimit: 5, expireInSeconds: 5 * 60 },
} as const satisfies Record<
  string,
  { policy: 'standard' | 'short' | 'singleton'; retryLimit: number; expireInSeconds: number; delaySeconds?: number }
>

export type QueueName = keyof typeof QUEUES

/** Ids only: who the work is for and what it is about (the slug of a question). Never names of people, addresses or amounts. */
export type JobIds = { businessId: string } & Record<string, string>

/** What the worker is given for each queue; the handler opens its own transaction and sets the business there. */
export type JobHandlers = { [Name in Exclude<QueueName, 'nightly'>]?: (ids: JobIds) => Promise<void> }

/** Schema of the job tables. */
export const JOB_SCHEMA = 'pgboss'

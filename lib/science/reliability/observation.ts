/**
 * One life, or what is known of it. Times in any one unit, counted from the start of the life.
 * - exact: lower = upper > 0 · right-censored: upper = Infinity · left-censored: lower = 0 · else the event lies in (lower, upper].
 * - truncatedAt: the life was only seen because it lasted at least this long (left truncation); lower is raised to it. Must be below upper.
 * - weight: how often this observation counts, above 0, 1 when absent.
 */
export type Observation = { lower: number; upper: number; truncatedAt?: number; weight?: number }

export type NotEstimableCode = 'no-events' | 'shape-unbounded' | 'shape-zero' | 'flat'

/** The data are in order, but no finite estimate exists. The code says why; the message says it in a plain sentence. */
export class NotEstimable extends RangeError {
  readonly code: NotEstimableCode

  constructor(code: NotEstimableCode, message: string = NOT_ESTIMABLE_SENTENCES[code]) {
    super(message)
    this.name = 'NotEstimable'
    this.code = code
  }
}

const NOT_ESTIMABLE_SENTENCES: Record<NotEstimableCode, string> = {
  'no-events': 'nothing has been found yet in these lives, so no life can be estimated',
  'shape-unbounded':
    'all these lives could have ended at the same age, so the spread of the lives cannot be estimated from them',
  'shape-zero': 'the lives that were watched say nothing of how wear begins, so no shape above zero fits them best',
  flat: 'the share found does not rise with age in these data, so no life can be estimated',
}

/**
 * Checks observations and brings them to one form: lower raised to truncatedAt, weight and truncatedAt filled in.
 * Errors: RangeError naming the first observation (counted from 1) that breaks a rule of `Observation`.
 */
export function checkObservations(observations: readonly Observation[]): Required<Observation>[] {
  if (observations.length === 0) throw new RangeError('at least one observation is needed')
  return observations.map((observation, index) => {
    const { lower, upper, truncatedAt = 0, weight = 1 } = observation
    const refuse = (reason: string) => new RangeError(`observation ${index + 1} (${lower} to ${upper}): ${reason}`)
    if (!(lower >= 0 && lower < Infinity)) throw refuse('lower must be a number of 0 or more')
    if (!(upper >= lower)) throw refuse('upper must not be below lower')
    if (upper === 0) throw refuse('a life must last longer than 0')
    if (lower === 0 && upper === Infinity) throw refuse('from 0 to without end says nothing; leave it out')
    if (!(truncatedAt >= 0 && truncatedAt < upper)) {
      throw refuse(`truncatedAt must be 0 or more and below upper, got ${truncatedAt}`)
    }
    if (!(weight > 0 && weight < Infinity)) throw refuse(`weight must be a number above 0, got ${weight}`)
    return { lower: Math.max(lower, truncatedAt), upper, truncatedAt, weight }
  })
}

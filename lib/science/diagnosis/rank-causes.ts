import { type DiagnosisEvidence, type DiagnosisModel, numberModel, weightsAfter } from './model'

/**
 * How likely each cause is after the answers so far, likeliest first (equals in the model's order): prior share × chance of each answer given the cause, divided by the sum over all
 * causes (Bayes' rule, one fault, answers independent given the cause). Causes ruled out are left out; the list is empty when none is left.
 * Units: probabilities, which sum to 1. Domain: see `DiagnosisModel`. Errors: RangeError on a model or evidence outside it.
 * Source: Heckerman, Breese & Rommelse 1995, CACM 38(3): 49–57.
 * @example rankCauses({ causes: [{ slug: 'a', prior: 1, minutes: 5 }, { slug: 'b', prior: 1, minutes: 5 }],
 *   checks: [{ slug: 'look', minutes: 1, answers: [{ slug: 'yes', points: ['a'] }, { slug: 'no', rest: true }] }] }, { answers: { look: 'yes' } })
 * // [{ cause: 'a', probability: 0.9 }, { cause: 'b', probability: 0.1 }]
 */
export function rankCauses(
  model: DiagnosisModel,
  evidence: DiagnosisEvidence = {},
): { cause: string; probability: number }[] {
  const numbered = numberModel(model)
  const weights = weightsAfter(numbered, evidence)
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return numbered.causes
    .map(({ slug }, place) => ({ cause: slug, probability: total > 0 ? (weights[place] ?? 0) / total : 0 }))
    .filter(({ probability }) => probability > 0)
    .sort((one, other) => other.probability - one.probability)
}

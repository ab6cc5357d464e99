import { type DiagnosisModel, numberModel } from './model'

/**
 * The model after one's own cases: `seen` of each cause grows by the cases in which it was found, so that its expected share is (prior + seen) / (sum of both): the mean of a Dirichlet
 * distribution with the priors as parameters, after multinomial counts. "Here 14 of 40" reads off `seen`.
 * Answers are not counted: a cause is written down because a check showed it, so that misses would hardly ever appear and every check would soon look infallible.
 * Units: cases. Domain: causes of the model; the same model twice counts twice. Errors: RangeError on a cause that the model does not have.
 * Source: Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 3.4 (multinomial with Dirichlet prior).
 * @example updateCounts({ causes: [{ slug: 'a', prior: 1, minutes: 5 }], checks: [] }, [{ cause: 'a' }]).causes[0] // { slug: 'a', prior: 1, seen: 1, minutes: 5 }
 */
export function updateCounts(model: DiagnosisModel, cases: readonly { cause: string }[]): DiagnosisModel {
  numberModel(model)
  const found = new Map(model.causes.map(({ slug, seen = 0 }) => [slug, seen]))
  for (const { cause } of cases) {
    const seen = found.get(cause)
    if (seen === undefined) throw new RangeError(`there is no cause ${cause}`)
    found.set(cause, seen + 1)
  }
  return { ...model, causes: model.causes.map((cause) => ({ ...cause, seen: found.get(cause.slug) ?? 0 })) }
}

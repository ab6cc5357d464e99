/** What makes a need come sooner: which properties of tanks, devices and looks can be tested, and what the test says in words. */
import { benjaminiHochberg, fitWeibullRegression, type Observation } from '@/lib/science'
import { incompleteBeta, studentQuantile } from '@/lib/science/special-functions'
import { type Certainty, timesInWords } from './certainty'
import { type Candidate, candidatesOf, type DriverLife, testableOf } from './driver-candidates'

export type Driver = {
  key: string
  sentence: string
  /** Life with it over life without it (for numbers: per step), and its 95 % interval. */
  timeRatio: number
  lower: number
  upper: number
  certainty: Certainty
  pValue: number
  /** After Benjamini–Hochberg over the properties shown. */
  adjustedP: number
  lives: number
  tanks: number
}

export type Drivers = {
  lives: number
  events: number
  tanks: number
  /** Most certain first. */
  shown: Driver[]
  notTested: { key: string; label: string; why: string }[]
}

const LEVEL = 0.95
/** Among the properties said to matter almost surely at most this share does not; among those said to matter probably, at most the second. */
const FALSE_DISCOVERIES = 0.05
const PROBABLY_FALSE_DISCOVERIES = 0.2

/**
 * Fits all testable properties together (Weibull accelerated failure time, tank-clustered errors) and says what each does.
 * Units: days. `nameOf` gives a person's name. The errors of a property of tanks are widened for the few tanks that have it: times
 * √((1/(a−1) + 1/(b−1)) / (1/a + 1/b)) with a tanks with it and b without, never below the errors without clustering, and Student's t with the
 * degrees of freedom of Satterthwaite for two groups (Bell & McCaffrey 2002, Survey Methodology 28: 169–181; from memory); and all by √((T−2)/(T−p−1)) for the p properties
 * fitted together over T tanks, each of which has taken a part of what the tanks can tell. What is said of a property holds after Benjamini–Hochberg over all that were tried.
 * @throws RangeError on a life outside `Observation`'s rules.
 */
export function findDrivers(lives: readonly DriverLife[], nameOf: (person: string) => string = (id) => id): Drivers {
  const counts = {
    lives: lives.length,
    events: lives.filter(({ event }) => event).length,
    tanks: new Set(lives.map(({ tank }) => tank)).size,
  }
  const { testable, notTested } = testableOf(lives, candidatesOf(lives, nameOf))
  const left = [...notTested]
  const kept = [...testable]
  while (kept.length > 0) {
    try {
      return { ...counts, shown: fitDrivers(lives, kept), notTested: left }
    } catch (error) {
      if (!(error instanceof RangeError)) throw error
      // The one with the least to go by goes first; the others may still be told apart.
      const dropped = kept.pop()
      if (dropped)
        left.push({
          key: dropped.key,
          label: dropped.label,
          why: 'it cannot be told apart from the others in these tanks',
        })
    }
  }
  return { ...counts, shown: [], notTested: left }
}

function fitDrivers(lives: readonly DriverLife[], candidates: readonly Candidate[]): Driver[] {
  const known = lives.filter((life) => candidates.every(({ valueIn }) => valueIn(life) !== null))
  const rows = known.map((life) => ({
    ...(life.observation satisfies Observation),
    covariates: [1, ...candidates.map(({ valueIn }) => valueIn(life) ?? 0)],
  }))
  const plain = fitWeibullRegression(rows)
  const clustered = fitWeibullRegression(rows, { cluster: known.map(({ tank }) => tank) })
  const raw = candidates.map((candidate, i) => {
    const { widened, freedom } = fewTanks(known, candidate, candidates.length)
    const error = Math.max(plain.standardErrors[i + 1] ?? 0, widened * (clustered.standardErrors[i + 1] ?? 0))
    const log = clustered.coefficients[i + 1] ?? 0
    return { candidate, log, error, freedom, pValue: studentTwoSided(log / error, freedom) }
  })
  const adjusted = benjaminiHochberg(
    raw.map(({ pValue }) => pValue),
    FALSE_DISCOVERIES,
  ).adjusted
  const drivers = raw.map(({ candidate, log, error, freedom, pValue }, i): Driver => {
    const reach = studentQuantile((1 + LEVEL) / 2, freedom) * error
    const ratios = { timeRatio: Math.exp(log), lower: Math.exp(log - reach), upper: Math.exp(log + reach) }
    const adjustedP = adjusted[i] ?? 1
    const certainty = sureness(adjustedP)
    const having = known.filter((life) => (candidate.isNumber ? true : candidate.valueIn(life) === 1))
    return {
      key: candidate.key,
      sentence: driverSentence(candidate.label, ratios, certainty),
      ...ratios,
      certainty,
      pValue,
      adjustedP,
      lives: having.length,
      tanks: new Set(having.map(({ tank }) => tank)).size,
    }
  })
  return drivers.sort((one, other) => one.pValue - other.pValue)
}

/** How sure a property stands among all that were tried. */
function sureness(adjustedP: number): Certainty {
  if (adjustedP <= FALSE_DISCOVERIES) return 'almost surely'
  return adjustedP <= PROBABLY_FALSE_DISCOVERIES ? 'probably' : 'cannot tell'
}

/** "With a stringy refugium it is needed about 3 times as often (2 to 5 times, almost surely)." */
export function driverSentence(
  label: string,
  { timeRatio, lower, upper }: { timeRatio: number; lower: number; upper: number },
  certainty: Certainty,
): string {
  const oftener = timeRatio < 1
  const [ratio, least, most] = oftener ? [1 / timeRatio, 1 / upper, 1 / lower] : [timeRatio, lower, upper]
  const range = `${figure(least)} to ${figure(most)} times`
  const as = oftener ? 'as often' : 'as long'
  if (certainty === 'cannot tell')
    return `${label} it is too close to call: it may ${oftener ? 'be needed' : 'last'} ${range} ${as}.`
  const verb = oftener ? 'it is needed' : 'it lasts'
  return `${label} ${verb} about ${timesInWords(ratio)} ${as} (${range}, ${certainty}).`
}

function figure(ratio: number): string {
  if (ratio >= 100) return 'over 100'
  return ratio >= 10 ? String(Math.round(ratio)) : String(Number(ratio.toFixed(ratio < 1 ? 2 : 1)))
}

/** How much wider, and with how many degrees of freedom, where few tanks carry the property. */
function fewTanks(lives: readonly DriverLife[], { valueIn, isNumber, ofTank }: Candidate, properties: number) {
  const tanks = new Set(lives.map(({ tank }) => tank)).size
  const left = Math.max(1, tanks - properties - 1)
  const forOthers = Math.sqrt(Math.max(1, tanks - 2) / left)
  if (!ofTank || isNumber) return { widened: Math.sqrt(tanks / (tanks - 1)) * forOthers, freedom: Math.max(2, left) }
  const a = new Set(lives.filter((life) => valueIn(life) === 1).map(({ tank }) => tank)).size
  const b = tanks - a
  const widened = Math.sqrt((1 / (a - 1) + 1 / (b - 1)) / (1 / a + 1 / b)) * forOthers
  const freedom = (1 / a + 1 / b) ** 2 / (1 / (a * a * (a - 1)) + 1 / (b * b * (b - 1)))
  return { widened, freedom: Math.min(freedom, Math.max(2, left)) }
}

/** P(|T| ≥ |t|) = I(ν / (ν + t²); ν/2, ½). */
function studentTwoSided(t: number, freedom: number): number {
  return incompleteBeta(freedom / 2, 0.5, freedom / (freedom + t * t))
}

import {
  type Life,
  type Observation,
  quantileOf,
  seededRandom,
  survivalAt,
  turnbull,
  turnbullBand,
} from '@/lib/science'

export type CurvePoint = { time: number; survival: number }
export type LifeCurves = {
  /** Share still fine by weeks: fitted, counted, and a band around what was counted. */
  fitted: CurvePoint[]
  counted: CurvePoint[]
  band: { time: number; lower: number; upper: number }[]
  /** Lives and tanks that the steps and the band were counted from; fewer than all in a large business. */
  counts: { lives: number; of: number; tanks: number }
}

export type TankLife = { tankId: string; observation: Observation }

const DAYS_PER_WEEK = 7
const CURVE_POINTS = 60
/** Enough for a band that one can read, and quick. */
const LIVES_COUNTED = 600
const RESAMPLES = 80
const TANKS_FOR_A_BAND = 5
const SEED = 1976
/** Where fewer lives than this are still being watched, what is counted jumps about, at last to nothing: it is drawn up to there. Common practice, no source. */
const STILL_WATCHED = 5

/**
 * The fitted survival curve, the counted one (Turnbull's estimate) and its 90 % band (whole tanks drawn anew, a fixed seed, so that the same lives
 * give the same band). Lives that entered late are left out of the count, which takes none. Times in weeks.
 */
export function lifeCurves(life: Life, lives: readonly TankLife[]): LifeCurves {
  const endDays = quantileOf(life, 0.98)
  const fitted = Array.from({ length: CURVE_POINTS + 1 }, (_, i) => {
    const days = (endDays * i) / CURVE_POINTS
    return { time: days / DAYS_PER_WEEK, survival: survivalAt(life, days) }
  })
  const usable = lives.filter(({ observation }) => (observation.truncatedAt ?? 0) === 0)
  const some = evenTanks(usable, LIVES_COUNTED)
  const observations = some.map(({ observation }) => observation)
  const tanks = new Set(some.map(({ tankId }) => tankId)).size
  const counts = { lives: some.length, of: lives.length, tanks }
  if (some.length === 0) return { fitted, counted: [], band: [], counts }
  const watchedUntil = observations.map(({ lower }) => lower).sort((a, b) => b - a)[STILL_WATCHED - 1] ?? 0
  return {
    fitted,
    counted: countedSteps(observations, Math.min(endDays, watchedUntil)),
    band: bandOf(some, { tanks, until: endDays, watchedUntil }),
    counts,
  }
}

/** Whole tanks at even steps along their ids, up to about so many lives. */
export function evenTanks<T extends { tankId: string }>(lives: readonly T[], most: number): T[] {
  if (lives.length <= most) return [...lives]
  const tanks = [...new Set(lives.map(({ tankId }) => tankId))].sort()
  const wanted = Math.max(TANKS_FOR_A_BAND, Math.floor((tanks.length * most) / lives.length))
  const chosen = new Set(
    Array.from({ length: wanted }, (_, i) => tanks[Math.floor(((i + 0.5) * tanks.length) / wanted)]),
  )
  return lives.filter(({ tankId }) => chosen.has(tankId))
}

function countedSteps(observations: readonly Observation[], lastDay: number): CurvePoint[] {
  const steps: CurvePoint[] = [{ time: 0, survival: 1 }]
  let survival = 1
  for (const { upper, mass } of turnbull(observations)) {
    if (!Number.isFinite(upper) || upper > lastDay) break
    survival -= mass
    steps.push({ time: upper / DAYS_PER_WEEK, survival: Math.max(0, survival) })
  }
  return steps.length > 1 ? steps : []
}

function bandOf(
  lives: readonly TankLife[],
  { tanks, until, watchedUntil }: { tanks: number; until: number; watchedUntil: number },
): LifeCurves['band'] {
  if (tanks < TANKS_FOR_A_BAND) return []
  const seen = turnbullBand(
    lives.map(({ observation }) => observation),
    { cluster: lives.map(({ tankId }) => tankId), until, resamples: RESAMPLES, random: seededRandom(SEED) },
  )
  return seen
    .filter(({ time }) => time <= watchedUntil)
    .map(({ time, lower, upper }) => ({ time: time / DAYS_PER_WEEK, lower, upper }))
}

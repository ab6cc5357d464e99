/**
 * The lives from which the demo is drawn: Weibull, in days from a renewal to a need. Invented; the estimates never see them,
 * and a test holds what the estimates find against them.
 */
export type TrueLife = {
  equipmentClass: string
  /** `class/mode`, as in the catalogue. */
  mode: string
  scaleDays: number
  shape: number
  /** Chance of a look at a routine visit, whatever state it is in. Modes of one device with the same `seenWith` share it. */
  look: number
  seenWith: string
  depth: 'running' | 'opened' | 'measured'
  /** Renewed at this age even where it is fine; 0: never. */
  plannedDays: number
  task: string
}

const life = (
  mode: string,
  [scaleDays, shape]: readonly [number, number],
  [depth, look, seenWith = mode]: readonly [TrueLife['depth'], number, string?],
  task: string,
  plannedDays = 0,
): TrueLife => {
  const equipmentClass = mode.slice(0, mode.indexOf('/'))
  return {
    equipmentClass,
    mode,
    scaleDays,
    shape,
    look,
    seenWith,
    depth,
    plannedDays,
    task: `${equipmentClass}/${task}`,
  }
}

export const demoTruth: readonly TrueLife[] = [
  life('protein-skimmer/wheel-clogged', [420, 1], ['opened', 0.4, 'skimmer pump'], 'clear-wheel'),
  life('protein-skimmer/impeller-film', [238, 2.1], ['opened', 0.4, 'skimmer pump'], 'clear-wheel', 182),
  life('protein-skimmer/air-line-restricted', [140, 2], ['running', 0.85], 'flush-air-line'),
  life('return-pump/impeller-scale', [280, 2.3], ['opened', 0.3], 'soak-and-brush', 210),
  life('return-pump/strainer-blocked', [84, 1.5], ['running', 0.9], 'clear-strainer'),
  life('circulation-pump/impeller-coralline', [154, 2.2], ['running', 0.7], 'soak-and-brush'),
  // Replaced at its age limit of 104 weeks, a little before it.
  life('heater/reads-off', [840, 2], ['measured', 0.95], 'replace', 700),
  life('dosing-pump/tube-tired', [308, 3], ['measured', 0.4, 'dose measured'], 'replace-tube'),
  life('dosing-pump/calibration-off', [98, 2], ['measured', 0.4, 'dose measured'], 'calibrate'),
  life('auto-top-up/sensor-fouled', [49, 2], ['running', 0.9], 'wipe-sensor'),
  life('external-filter/media-clogged', [56, 2.6], ['running', 0.9], 'rinse-media', 42),
  life('uv-steriliser/lamp-past-hours', [392, 6], ['measured', 0.25], 'replace-lamp', 364),
  life('led-light/dust', [210, 2], ['running', 0.7], 'blow-out-dust'),
  life('carbon-dioxide-set/diffuser-clogged', [70, 2], ['running', 0.9], 'clean-diffuser'),
  life('carbon-dioxide-set/cylinder-empty', [185, 3.5], ['measured', 0.9], 'change-cylinder'),
]

/** What else of the truth a piece of work starts anew, beside the mode it was done for. */
export const RENEWED_TOGETHER: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer/clear-wheel': ['protein-skimmer/wheel-clogged', 'protein-skimmer/impeller-film'],
  'return-pump/soak-and-brush': ['return-pump/impeller-scale', 'return-pump/strainer-blocked'],
  'dosing-pump/replace-tube': ['dosing-pump/tube-tired', 'dosing-pump/calibration-off'],
}

/** The planted trouble: in three tanks with a stringy refugium the wheel clogs this many times as fast. */
export const PLANTED_MODE = 'protein-skimmer/wheel-clogged'
export const PLANTED_TIMES_AS_FAST = 8

/**
 * Containers: what each uses a day is drawn so that one filling lasts at least this many times as long as the tank's visits
 * lie apart, with this much chance from day to day. Two are planted that do not last until the next visit: one because
 * its visit was moved, one because its container is too small.
 */
export const TRUE_CONTAINERS = { lastsTimes: 2.6, dailyVariation: 0.35 }
export const SHORT_CONTAINERS = { moved: 'Salt water, cellar', small: 'Calcium, small container' }
/** By how many days the visit to the first of them was moved. */
export const MOVED_BY_DAYS = 14

/** What wears along a measured path: straight to its threshold, so many days from this week's Monday (lamps: at so many hours a day). */
export const TRUE_WEAR = {
  'dosing-pump/tube-tired': { first: 50, crossesInDays: 35, readings: 7, misreading: 0.12 },
  'reverse-osmosis/membrane-tired': { first: 98, crossesInDays: 75, readings: 6, misreading: 0.12 },
  'uv-steriliser/lamp-past-hours': { hoursPerDay: 23.6, readings: 4 },
  'return-pump/impeller-scale': { first: 3200, crossesInDays: 160, readings: 5, misreading: 18 },
} as const

/**
 * Planted in the stock: of the first of these parts for which it can be, so few are on hand that the visits of this week have what they need and one of the next two weeks
 * has not. Of the part in `onItsWay` an order is under way; of the one in `toOrder` one fewer is there than should be kept.
 */
export const PLANTED_STOCK = {
  shortAhead: ['tube', 'heater', 'lamp'],
  onItsWay: ['lamp', 'heater'],
  toOrder: 'cylinder',
} as const

/**
 * The remedy: in one of the planted tanks the wheel clogs this many times as fast, until a screen is put before the pump at the first visit
 * since that week (0: this one); from then on hardly ever.
 */
export const REMEDIED = {
  tankNumber: 5,
  timesAsFast: 16,
  week: -40,
  timesAsFastSince: 0.05,
  words: 'Screen before the skimmer pump; the refugium is harvested at every visit.',
}

/** The lot of salt that is weak: tanks on it lose this much alkalinity from the visit on at which it is first used. */
export const WEAK_SALT = { label: 'SL-2410', week: -7, shiftDkh: -1.1 }

/**
 * The technician with a lower threshold: when standing in at a colleague's tank, "needs it" is said once this share of the life is over. The
 * wheel is left out: what strikes by chance gives no sign beforehand.
 */
export const LOW_THRESHOLD = { technician: 2, share: 0.65 }

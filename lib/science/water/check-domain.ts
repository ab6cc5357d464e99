/** Refuses what no formula here was made for. Errors: RangeError, in a sentence with the name, the limits and the unit. */
export function checkWithin(value: number, name: string, [least, most]: readonly [number, number], unit = ''): void {
  if (!(value >= least && value <= most))
    throw new RangeError(`${name} must be a number from ${least} to ${most}${unit && ` ${unit}`}, got ${value}`)
}

/** Far beyond any tank: what lies between can be added, multiplied and divided without running over. */
const [SMALLEST, LARGEST] = [1e-9, 1e12]

/** As `checkWithin`, for what has no limit of its own: from 0 to 1e12, or above 0 (1e-9 at least) where 0 makes no sense. */
export function checkAmount(value: number, name: string, unit = '', { aboveZero = false } = {}): void {
  if (aboveZero && !(value >= SMALLEST && value <= LARGEST))
    throw new RangeError(`${name} must be above 0 and at most ${LARGEST}${unit && ` ${unit}`}, got ${value}`)
  if (!aboveZero) checkWithin(value, name, [0, LARGEST], unit)
}

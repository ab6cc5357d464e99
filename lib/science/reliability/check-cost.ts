/** Errors: RangeError, naming the cost, where it is not a number of 0 or more (or above 0). */
export function checkCost(value: number, name: string, least: 'zero' | 'above'): void {
  const fine = least === 'zero' ? value >= 0 : value > 0
  if (!(fine && value < Infinity)) {
    throw new RangeError(`${name} must be a number ${least === 'zero' ? 'of 0 or more' : 'above 0'}, got ${value}`)
  }
}

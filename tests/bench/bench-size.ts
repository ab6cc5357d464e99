import { parseArgs } from 'node:util'

/** How large the invented business is; smaller for trying: `npm run bench -- --tanks 200`. */
export type BenchSize = { tanks: number; visitsPerTank: number }

const FULL: BenchSize = { tanks: 10_000, visitsPerTank: 130 }

/** The size asked for on the command line; ten thousand tanks and five years where nothing is said. */
export function benchSize(): BenchSize {
  const { values } = parseArgs({
    options: { tanks: { type: 'string' }, visits: { type: 'string' } },
    strict: false,
  })
  const whole = (given: string | boolean | undefined, otherwise: number) => {
    const number = Number(given ?? otherwise)
    if (!Number.isInteger(number) || number < 1) throw new RangeError(`a whole number above 0 is needed, got ${given}`)
    return number
  }
  return { tanks: whole(values.tanks, FULL.tanks), visitsPerTank: whole(values.visits, FULL.visitsPerTank) }
}

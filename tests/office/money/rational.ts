/** Exact fractions of BigInt: the recomputation that shares nothing with the code under test. */
export type Rational = { n: bigint; d: bigint }

/** Reads "12.345" or "-0.5" as a fraction. */
export function rational(text: string): Rational {
  const match = /^(-?)(\d+)(?:\.(\d+))?$/.exec(text)
  if (!match) throw new Error(`not a plain decimal: ${text}`)
  const [, sign, whole = '', fraction = ''] = match
  const n = BigInt(whole + fraction)
  return { n: sign === '-' ? -n : n, d: 10n ** BigInt(fraction.length) }
}

export const times = (a: Rational, b: Rational): Rational => ({ n: a.n * b.n, d: a.d * b.d })

/** Half up on the absolute value to whole numbers: floor of (2|n| + d) / 2d, with the sign put back. */
export function roundHalfUp({ n, d }: Rational): bigint {
  const [top, bottom] = d < 0n ? [-n, -d] : [n, d]
  const size = top < 0n ? -top : top
  const rounded = (2n * size + bottom) / (2n * bottom)
  return top < 0n ? -rounded : rounded
}

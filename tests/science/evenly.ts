import fc from 'fast-check'

/** A figure anywhere from min to max, each part of it as likely. `fc.double` draws from the floating-point numbers, most of which lie next to 0. */
export const evenly = (min: number, max: number) =>
  fc.integer({ min: 0, max: 1_000_000 }).map((share) => min + ((max - min) * share) / 1_000_000)

import { expect } from 'vitest'

/** Fails unless actual is within `relative` of expected (absolute where expected is 0). Infinity matches Infinity. */
export function expectRelative(actual: number | undefined, expected: number, relative: number): void {
  if (actual === expected) return
  const slack = expected === 0 ? relative : relative * Math.abs(expected)
  expect(actual, `${actual} should be within ${slack} of ${expected}`).toSatisfy(
    (value: number) => Math.abs(value - expected) <= slack,
  )
}

export function expectAllRelative(actual: readonly number[], expected: readonly number[], relative: number): void {
  expect(actual.length).toBe(expected.length)
  expected.forEach((value, i) => {
    expectRelative(actual[i], value, relative)
  })
}

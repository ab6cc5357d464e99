import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import {
  convertAlkalinity,
  convertHardness,
  convertNutrient,
  doseFor,
  heaterPower,
  oxygenSaturation,
  practicalSalinity,
  salinityFromConductivity,
  salinityFromSpecificGravity,
  seawaterDensity,
  specificGravity,
  topOffDrift,
  unionisedAmmonia,
  waterChange,
  waterChangeNeeded,
} from '@/lib/science'

/** The figures and their sources stand in tests/reference/water.json; here only what takes each of them. */
type Row = { input: Record<string, unknown>; expected: number; within: number }
const GROUPS: { function: string; source: string; rows: Row[] }[] = JSON.parse(
  readFileSync('tests/reference/water.json', 'utf8'),
)

/** The file is typed by what its rows are for; a wrong row would be refused with a RangeError, or fail. */
const of = <Input>(name: (input: Input) => number) => name as (input: unknown) => number
const CHECKS: Record<string, (input: unknown) => number> = {
  practicalSalinity: of(practicalSalinity),
  salinityFromConductivity: of(salinityFromConductivity),
  seawaterDensity: of(seawaterDensity),
  specificGravity: of(specificGravity),
  salinityFromSpecificGravity: of(salinityFromSpecificGravity),
  unionisedAmmonia: of((input: Parameters<typeof unionisedAmmonia>[0]) => unionisedAmmonia(input).fraction),
  oxygenSaturation: of(oxygenSaturation),
  convertAlkalinity: of(convertAlkalinity),
  convertHardness: of(convertHardness),
  convertNutrient: of(convertNutrient),
  'doseFor grams': of((input: Parameters<typeof doseFor>[0]) => doseFor(input).grams),
  waterChange: of(waterChange),
  'waterChangeNeeded total': of((input: Parameters<typeof waterChangeNeeded>[0]) => waterChangeNeeded(input).total),
  'topOffDrift salinity': of((input: Parameters<typeof topOffDrift>[0]) => topOffDrift(input).salinity),
  'heaterPower holding': of((input: Parameters<typeof heaterPower>[0]) => heaterPower(input).holding),
  'heaterPower byEvaporation': of((input: Parameters<typeof heaterPower>[0]) => heaterPower(input).byEvaporation),
  'heaterPower warming': of((input: Parameters<typeof heaterPower>[0]) => heaterPower(input).warming),
}

/** Published check values stand on the scale of 1968; thermometers read that of 1990. */
function asRead({ temperature68, ...input }: Record<string, unknown>): Record<string, unknown> {
  return temperature68 === undefined ? input : { ...input, temperature: Number(temperature68) / 1.00024 }
}

describe.each(GROUPS)('$function: $source', ({ function: name, rows }) => {
  test.each(rows)('$input is $expected', ({ input, expected, within }) => {
    const found = CHECKS[name]?.(asRead(input)) ?? Number.NaN
    expect(Math.abs(found - expected), `${name} gives ${found}, published ${expected} ± ${within}`).toBeLessThanOrEqual(
      within,
    )
  })
})

test('every figure of the file is held against something', () => {
  expect(GROUPS.map((group) => group.function).filter((name) => !(name in CHECKS))).toEqual([])
  expect(Object.keys(CHECKS).filter((name) => !GROUPS.some((group) => group.function === name))).toEqual([])
})

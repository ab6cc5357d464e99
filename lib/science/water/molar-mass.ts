/**
 * g/mol. Source: IUPAC abridged standard atomic weights 2021 (Prohaska et al. 2022, Pure Appl. Chem. 94: 573–600), from memory.
 */
export const ATOMIC_WEIGHT = {
  H: 1.008,
  C: 12.011,
  N: 14.007,
  O: 15.999,
  Na: 22.99,
  Mg: 24.305,
  P: 30.974,
  S: 32.06,
  Cl: 35.45,
  K: 39.098,
  Ca: 40.078,
} as const

const { H, C, N, O, P, Ca } = ATOMIC_WEIGHT
export const MOLAR_MASS = {
  water: 2 * H + O,
  nitrate: N + 3 * O,
  nitrite: N + 2 * O,
  ammonia: N + 3 * H,
  ammonium: N + 4 * H,
  phosphate: P + 4 * O,
  phosphorusPentoxide: 2 * P + 5 * O,
  bicarbonate: H + C + 3 * O,
  carbonate: C + 3 * O,
  hydroxide: O + H,
  calciumCarbonate: Ca + C + 3 * O,
  calciumOxide: Ca + O,
} as const

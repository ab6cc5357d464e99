import { ATOMIC_WEIGHT, MOLAR_MASS } from './molar-mass'

const { Na, Mg, S, O, Cl, K, Ca, H } = ATOMIC_WEIGHT

/** What compounds fall into in water: g/mol as it is said in readings (phosphate as PO4), and milliequivalents of alkalinity per millimole. */
const IONS = {
  calcium: { mass: Ca, alkalinity: 0 },
  magnesium: { mass: Mg, alkalinity: 0 },
  sodium: { mass: Na, alkalinity: 0 },
  potassium: { mass: K, alkalinity: 0 },
  chloride: { mass: Cl, alkalinity: 0 },
  sulfate: { mass: S + 4 * O, alkalinity: 0 },
  nitrate: { mass: MOLAR_MASS.nitrate, alkalinity: 0 },
  // As dihydrogen phosphate, which weighs two hydrogens more than what a reading of PO4 says.
  phosphate: { mass: MOLAR_MASS.phosphate, alkalinity: 0, carries: 2 * H },
  bicarbonate: { mass: MOLAR_MASS.bicarbonate, alkalinity: 1 },
  carbonate: { mass: MOLAR_MASS.carbonate, alkalinity: 2 },
  hydroxide: { mass: MOLAR_MASS.hydroxide, alkalinity: 1 },
} as const
export type Ion = keyof typeof IONS
/** What a dose is given for: an ion in mg/L (nitrate as NO3, phosphate as PO4), or alkalinity in meq/L. */
export type Raised = 'calcium' | 'magnesium' | 'potassium' | 'nitrate' | 'phosphate' | 'alkalinity'

type Formula = { ions: Partial<Record<Ion, number>>; water?: number; raises: Raised }

/** The hydrate is part of the name: taking calcium chloride with its water for the one without is an error of a third. */
const COMPOUNDS = {
  'calcium chloride anhydrous': { ions: { calcium: 1, chloride: 2 }, raises: 'calcium' },
  'calcium chloride dihydrate': { ions: { calcium: 1, chloride: 2 }, water: 2, raises: 'calcium' },
  'magnesium chloride hexahydrate': { ions: { magnesium: 1, chloride: 2 }, water: 6, raises: 'magnesium' },
  'magnesium sulfate heptahydrate': { ions: { magnesium: 1, sulfate: 1 }, water: 7, raises: 'magnesium' },
  'sodium bicarbonate': { ions: { sodium: 1, bicarbonate: 1 }, raises: 'alkalinity' },
  'sodium carbonate anhydrous': { ions: { sodium: 2, carbonate: 1 }, raises: 'alkalinity' },
  'potassium bicarbonate': { ions: { potassium: 1, bicarbonate: 1 }, raises: 'alkalinity' },
  'calcium hydroxide': { ions: { calcium: 1, hydroxide: 2 }, raises: 'alkalinity' },
  'potassium nitrate': { ions: { potassium: 1, nitrate: 1 }, raises: 'nitrate' },
  'potassium dihydrogen phosphate': { ions: { potassium: 1, phosphate: 1 }, raises: 'phosphate' },
  'potassium sulfate': { ions: { potassium: 2, sulfate: 1 }, raises: 'potassium' },
} as const satisfies Record<string, Formula>
export type Compound = keyof typeof COMPOUNDS

export type Supply = {
  /** g/mol with the water of the crystal. */
  molarMass: number
  raises: Raised
  unit: 'mg/L' | 'meq/L'
  /** mg, or meq of alkalinity, that one mmol brings. */
  perMillimole: number
  /** The other ions of one mmol, in mg. */
  alongside: readonly { ion: Ion; milligrams: number }[]
}

/**
 * What one millimole of a compound weighs and brings: sums of atomic weights. Units: g/mol, mg (meq for alkalinity) per mmol. Errors: RangeError for an unknown compound.
 * Source: chemical formulas; atomic weights as in `ATOMIC_WEIGHT`.
 */
export function supplyOf(compound: Compound): Supply {
  if (!Object.hasOwn(COMPOUNDS, compound))
    throw new RangeError(`no compound is called "${compound}"; known: ${Object.keys(COMPOUNDS).join(', ')}`)
  const { ions, water = 0, raises }: Formula = COMPOUNDS[compound]
  const parts = Object.entries(ions).map(([name, count]) => {
    const ion = name as Ion // keys of the formula, by its type
    const known: { mass: number; alkalinity: number; carries?: number } = IONS[ion]
    return { ion, count, ...known }
  })
  const molarMass = parts.reduce((sum, { mass, carries = 0, count }) => sum + count * (mass + carries), 0)
  const alkalinity = parts.reduce((sum, part) => sum + part.count * part.alkalinity, 0)
  const own = parts.find(({ ion }) => ion === raises)
  return {
    molarMass: molarMass + water * MOLAR_MASS.water,
    raises,
    unit: raises === 'alkalinity' ? 'meq/L' : 'mg/L',
    perMillimole: own ? own.count * own.mass : alkalinity,
    alongside: parts
      .filter((part) => part.ion !== raises && part.alkalinity === 0)
      .map(({ ion, mass, count }) => ({ ion, milligrams: count * mass })),
  }
}

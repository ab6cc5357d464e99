/** Which caution stands beside which step of a visit: its own step and no other. */
import type { TankKind } from './catalogue/types'
import { type Caution, type CautionSlug, findCaution } from './cautions'

/** Steps of a visit that can need a caution. */
export type VisitStep =
  | 'arrive'
  | 'look'
  | 'leak-found'
  | 'residual-current-test'
  | 'hands-in'
  | 'lower-level'
  | 'take-heater-out'
  | 'open-device'
  | 'clear-air-line'
  | 'soak-in-acid'
  | 'disinfect'
  | 'mix-calcium-chloride'
  | 'mix-lime'
  | 'remove-fouling'
  | 'uv-lamp'
  | 'lamp-broken'
  | 'ozone-device'
  | 'carbon-dioxide'
  | 'chiller'
  | 'start-siphon'
  | 'water-change'
  | 'lift'
  | 'clean-glass'
  | 'clean-sand'
  | 'medicate'
  | 'bin-macroalgae'
  | 'rinse'
  | 'restart-filter'
  | 'wiring'
  | 'leave'

/** What is known about the tank, the place and the device at that step. Whatever is left out is taken as not so. */
export type CautionContext = {
  tankKind?: TankKind
  venomousAnimals?: boolean
  zoanthids?: boolean
  invertebrates?: boolean
  childrenOrPatients?: boolean
  alone?: boolean
  signal?: boolean
  closedSpace?: boolean
  tapFilled?: boolean
  heater?: boolean
  stoppedMinutes?: number
  openCut?: boolean
  weightKg?: number
  deepSand?: boolean
}

/** Above this a single person asks for help; employers' own and local limits go first. Common practice, no source. */
const HEAVY_KG = 20
const STOPPED_TOO_LONG_MINUTES = 120

/**
 * Cautions that belong to exactly this step in this place; an empty list for a step that needs none. The acid step and
 * the chlorine step never share a caution, and no step returns both.
 * @example cautionsFor('lower-level', { heater: true }) // [heater-off-first]
 */
export function cautionsFor(step: VisitStep, context: CautionContext = {}): Caution[] {
  return slugsFor(step, context).map(findCaution)
}

function slugsFor(step: VisitStep, context: CautionContext): CautionSlug[] {
  const when = (condition: boolean | undefined, ...slugs: CautionSlug[]) => (condition ? slugs : [])
  switch (step) {
    case 'arrive':
      return [
        ...when(context.venomousAnimals, 'venomous-animals'),
        ...when(context.alone && context.signal === false, 'alone'),
        ...when(context.childrenOrPatients, 'sharps-counted'),
      ]
    case 'leak-found':
      return ['wet-electrics']
    case 'residual-current-test':
      return ['test-button']
    case 'wiring':
      return ['fixed-wiring']
    case 'hands-in':
      return [...when(context.openCut, 'cuts'), ...when(context.venomousAnimals, 'venomous-animals')]
    case 'lower-level':
      return when(context.heater, 'heater-off-first')
    case 'take-heater-out':
      return ['plug-out', 'heater-cool-down']
    case 'open-device':
      return ['plug-out']
    case 'clear-air-line':
      return ['air-nozzle', 'mouth']
    case 'soak-in-acid':
      return ['acid']
    case 'disinfect':
      return ['bleach']
    case 'mix-calcium-chloride':
      return ['calcium-chloride-heat']
    case 'mix-lime':
      return ['lime-dust']
    case 'remove-fouling':
      return when(context.zoanthids || context.tankKind === 'reef', 'palytoxin')
    case 'uv-lamp':
      return ['uv-lamp']
    case 'lamp-broken':
      return ['lamp-mercury']
    case 'ozone-device':
      return ['ozone']
    case 'carbon-dioxide':
      return ['gas-cylinder', ...when(context.closedSpace, 'gas')]
    case 'chiller':
      return ['refrigerant']
    case 'start-siphon':
      return ['mouth']
    case 'water-change':
      return when(context.tapFilled, 'chlorine-water')
    case 'lift':
      return when((context.weightKg ?? 0) > HEAVY_KG, 'lifting')
    case 'clean-glass':
      return ['magnets']
    case 'clean-sand':
      return when(context.deepSand, 'old-sand')
    case 'medicate':
      return ['medicines']
    case 'bin-macroalgae':
      return ['no-release']
    case 'rinse':
      return ['rinse-place']
    case 'restart-filter':
      return when((context.stoppedMinutes ?? 0) > STOPPED_TOO_LONG_MINUTES, 'stopped-filter')
    case 'leave':
      return when(context.childrenOrPatients, 'sharps-counted')
    case 'look':
      return []
  }
}

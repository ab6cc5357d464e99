/** From the sign to the cause. Imports the tables and the numbers only: it runs on the phone too. */
import { afterAPowerCut } from './families/after-a-power-cut'
import { alarmRang } from './families/alarm-rang'
import { algaeOutbreak } from './families/algae-outbreak'
import { alkalinityFalling } from './families/alkalinity-falling'
import { ammoniaPresent } from './families/ammonia-present'
import { animalMissingOrDead } from './families/animal-missing-or-dead'
import { clientUnhappy } from './families/client-unhappy'
import { cloudyWater } from './families/cloudy-water'
import { coralPaleOrReceding } from './families/coral-pale-or-receding'
import { fishBreathingFast } from './families/fish-breathing-fast'
import { fishWithSpots } from './families/fish-with-spots'
import { indicatorOffColour } from './families/indicator-off-colour'
import { lightFlickers } from './families/light-flickers'
import { phCrash } from './families/ph-crash'
import { phLowInTheMorning } from './families/ph-low-in-the-morning'
import { plantsMelting } from './families/plants-melting'
import { residualCurrentTripped } from './families/residual-current-tripped'
import { returnFlowLow } from './families/return-flow-low'
import { salinityHigh } from './families/salinity-high'
import { salinityLow } from './families/salinity-low'
import { skimmerOverflows } from './families/skimmer-overflows'
import { skimmerUnsteady } from './families/skimmer-unsteady'
import { sumpLevelOff } from './families/sump-level-off'
import { sumpNoise } from './families/sump-noise'
import { surfaceFilm } from './families/surface-film'
import { temperatureHigh } from './families/temperature-high'
import { temperatureLow } from './families/temperature-low'
import { topUpOften } from './families/top-up-often'
import { waterOnTheFloor } from './families/water-on-the-floor'
import type { FaultPlace } from './model-of'
import type { FaultFamily } from './types'

export { NO_SOURCE, NOT_FOUND } from './define'
export { modelOf } from './model-of'
export * from './types'

/** Every sign: what can hurt or kill today first, then devices and flow, temperature, water, minerals, animals and plants, the client. */
export const faultFamilies: readonly FaultFamily[] = [
  waterOnTheFloor,
  residualCurrentTripped,
  afterAPowerCut,
  fishBreathingFast,
  skimmerUnsteady,
  skimmerOverflows,
  returnFlowLow,
  temperatureLow,
  temperatureHigh,
  cloudyWater,
  salinityLow,
  salinityHigh,
  topUpOften,
  sumpLevelOff,
  algaeOutbreak,
  alkalinityFalling,
  phLowInTheMorning,
  phCrash,
  sumpNoise,
  alarmRang,
  lightFlickers,
  fishWithSpots,
  coralPaleOrReceding,
  animalMissingOrDead,
  ammoniaPresent,
  surfaceFilm,
  plantsMelting,
  indicatorOffColour,
  clientUnhappy,
]

/** `null` for a slug that is not of the tables. */
export function findFamily(slug: string): FaultFamily | null {
  return faultFamilies.find((family) => family.slug === slug) ?? null
}

/** Signs that a tank of this kind with these devices can show, those of the given device first. */
export function familiesFor(place: FaultPlace & { device?: string }): FaultFamily[] {
  const here = faultFamilies.filter(
    ({ tankKinds, equipmentClass, fittedAny }) =>
      (!tankKinds || !place.tankKind || tankKinds.includes(place.tankKind)) &&
      (!equipmentClass || !place.fitted || place.fitted.includes(equipmentClass)) &&
      (!fittedAny || !place.fitted || place.fitted.some((one) => fittedAny.includes(one))),
  )
  const own = here.filter(({ equipmentClass }) => equipmentClass !== null && equipmentClass === place.device)
  return [...own, ...here.filter((family) => !own.includes(family))]
}

import { salinityFromSpecificGravity, specificGravity } from '@/lib/science/water'

/**
 * The specific gravity that hydrometers and refractometers show, both temperatures at 25 °C. Instruments set at 20 °C differ by less than 0.4 in salinity. Figures as typed are carried on
 * beyond what sea water can be: whether they can be meant is judged afterwards.
 */
const AT_25 = { sampleTemperature: 25, referenceTemperature: 25, extrapolate: true }

/** Practical salinity → specific gravity at 25 °C; below zero a straight line, so that there is always one way back. */
export const gravityOfSalinity = (salinity: number) => specificGravity({ salinity, ...AT_25 })

/** Specific gravity at 25 °C → practical salinity. */
export const salinityOfGravity = (gravity: number) =>
  salinityFromSpecificGravity({ specificGravity: gravity, ...AT_25 })

/** Whether a figure written for a salinity is what a hydrometer shows: animals live in fresh water or in far saltier than this. */
export const looksLikeGravity = (figure: number) => figure > 1 && figure < 1.05

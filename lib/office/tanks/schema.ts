/**
 * What is typed about tanks, their equipment and agreements; the same on the screen and on the server. Figures stay as
 * they were typed, so that nothing is lost when something is refused; the commands read them.
 */
import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import { TANK_KINDS } from '@/lib/trade/catalogue/types'
import {
  commandFields,
  isoDate,
  longText,
  optionalId,
  optionalIsoDate,
  shortText,
  wholeNumberText,
} from '../clients/schema'
import { text } from '../frame/fields'
import { ticked } from '../frame/schema'
import { readFigure, readVolumeL, VOLUME_UNITS, type VolumeUnit } from '../frame/typed-figures'
import { amountTextToMinor } from '../money/currency'

const MOST_LITRES = 1_000_000
const VOLUME_WORDS = 'A volume above 0, such as 450 or 62.5. Write 1500, not 1,500.'
const LEVEL_WORDS = 'Millimetres from 0 to 10000, such as 35 or 35.5.'

const volumeFits = (text: string, unit: VolumeUnit) => {
  const litres = readVolumeL(text, unit)
  return litres !== null && litres > 0 && litres <= MOST_LITRES
}
const levelMark = text(20).refine((typed) => {
  const value = typed === '' ? 0 : readFigure(typed)
  return value !== null && value >= 0 && value <= 10_000
}, LEVEL_WORDS)

/** How old a device is: a day, or said to be unknown, and then the other two do not count. */
const ageFields = {
  installed: z.enum(['on', 'unknown'], 'Since when is it in use? "Unknown" is an answer.'),
  installedOn: optionalIsoDate.default(''),
  /** It was new on that day; only then does its whole life count. */
  confirmedNew: ticked,
}
type Age = { installed: 'on' | 'unknown'; installedOn: string }
const dayGiven = (age: Age) => age.installed === 'unknown' || age.installedOn !== ''
const DAY_GIVEN = { path: ['installedOn'], message: 'On which day? Choose "unknown" if nobody knows.' }
const deviceFields = {
  equipmentClass: text(100).min(1, 'What kind of equipment is it?').transform(currentSlug),
  label: shortText.min(1, 'What do you call it?'),
  ...ageFields,
  note: longText,
}
/** One device of the take-over form. Its id becomes the device's; the slot made with it carries the same id. */
export const equipmentRowSchema = z.object({ id: z.uuid(), ...deviceFields }).refine(dayGiven, DAY_GIVEN)
export type EquipmentRow = z.infer<typeof equipmentRowSchema>

const tankFields = {
  siteId: z.uuid('Where does the tank stand?'),
  name: shortText.min(1, 'What is the tank called on site?'),
  profile: z.enum(TANK_KINDS, 'What kind of tank is it?'),
  volume: text(30),
  volumeUnit: z.enum(VOLUME_UNITS),
  grossVolume: text(30),
  levelMarkDisplayMm: levelMark,
  levelMarkSumpMm: levelMark,
  hasStringyRefugium: ticked,
  hasFineSand: ticked,
  isHeavilyStocked: ticked,
  hasFurryPets: ticked,
  hasHardTapWater: ticked,
  isNearKitchenOrSmoke: ticked,
  dangerousAnimals: longText,
  takenOverOn: optionalIsoDate,
  isolator: longText,
  shutOffs: longText,
  faultsAtTakeover: longText,
  note: longText,
}
type Volumes = { volume: string; grossVolume: string; volumeUnit: VolumeUnit }
function checkVolumes({ volume, grossVolume, volumeUnit }: Volumes, context: z.RefinementCtx): void {
  if (!volumeFits(volume, volumeUnit)) context.addIssue({ code: 'custom', path: ['volume'], message: VOLUME_WORDS })
  if (grossVolume === '') return
  if (!volumeFits(grossVolume, volumeUnit))
    context.addIssue({ code: 'custom', path: ['grossVolume'], message: VOLUME_WORDS })
  else if ((readVolumeL(grossVolume, volumeUnit) ?? 0) < (readVolumeL(volume, volumeUnit) ?? 0))
    context.addIssue({ code: 'custom', path: ['grossVolume'], message: 'The glass holds at least the true water.' })
}

export const addTankSchema = z
  .object({
    ...commandFields,
    ...tankFields,
    equipment: z.array(equipmentRowSchema).max(60, 'Sixty devices at most; add the rest on the tank’s page.'),
  })
  .superRefine(checkVolumes)
export const editTankSchema = z.object({ ...commandFields, tankId: z.uuid(), ...tankFields }).superRefine(checkVolumes)
export type AddTankInput = z.infer<typeof addTankSchema>
export type TankFields = Omit<AddTankInput, 'commandId' | 'businessId' | 'equipment'>

export const EMPTY_TANK: Omit<TankFields, 'siteId' | 'name' | 'profile' | 'volume'> = {
  volumeUnit: 'L',
  grossVolume: '',
  levelMarkDisplayMm: '',
  levelMarkSumpMm: '',
  hasStringyRefugium: false,
  hasFineSand: false,
  isHeavilyStocked: false,
  hasFurryPets: false,
  hasHardTapWater: false,
  isNearKitchenOrSmoke: false,
  dangerousAnimals: '',
  takenOverOn: '',
  isolator: '',
  shutOffs: '',
  faultsAtTakeover: '',
  note: '',
}

/** `slotId` blank: the device gets a place of its own. */
export const addEquipmentSchema = z
  .object({ ...commandFields, tankId: z.uuid(), slotId: optionalId, ...deviceFields })
  .refine(dayGiven, DAY_GIVEN)

export const editEquipmentSchema = z
  .object({ ...commandFields, equipmentId: z.uuid(), label: deviceFields.label, ...ageFields, note: longText })
  .refine(dayGiven, DAY_GIVEN)

const removalFields = {
  equipmentId: z.uuid(),
  on: isoDate,
  /** The failure mode that ended its life; blank where it was not a failure. */
  becauseMode: text(200).transform(currentSlug),
}
export const replaceEquipmentSchema = z.object({
  ...commandFields,
  ...removalFields,
  label: deviceFields.label,
  isNew: z.enum(['yes', 'no'], 'Is the device that goes in new?'),
  note: longText,
})

export const retireEquipmentSchema = z.object({ ...commandFields, ...removalFields, keepSlot: ticked })

const agreementFields = {
  tankId: z.uuid(),
  every: wholeNumberText(1, 365, 'A whole number from 1 to 365.'),
  everyUnit: z.enum(['days', 'weeks']),
  anchorOn: isoDate,
  visitMinutes: wholeNumberText(5, 1440, 'Minutes from 5 to 1440.'),
  monthlyFee: text(30),
  currency: text(3).regex(/^[A-Z]{3}$/),
  includes: longText,
  preferredPersonId: optionalId,
  purchaseOrder: shortText,
  /** A visit at which nobody let us in is billed all the same. */
  billNoAccess: ticked.optional(),
  startsOn: isoDate,
}
/** From the second agreement of a tank on, the one before ends the day before this one starts. */
export const agreementSchema = z.object({ ...commandFields, ...agreementFields }).superRefine((agreement, context) => {
  const feeMinor = amountTextToMinor(agreement.monthlyFee, agreement.currency)
  if (feeMinor === null || feeMinor < 0)
    context.addIssue({
      code: 'custom',
      path: ['monthlyFee'],
      message: 'An amount such as 184.00.',
    })
  if (agreement.everyUnit === 'weeks' && Number(agreement.every) > 52)
    context.addIssue({ code: 'custom', path: ['every'], message: 'At most 52 weeks.' })
})
export type AgreementInput = z.infer<typeof agreementSchema>
export type AgreementFields = Omit<AgreementInput, 'commandId' | 'businessId'>

export const endAgreementSchema = z.object({ ...commandFields, agreementId: z.uuid(), endsOn: isoDate })

/** `siteId` blank: the tank stays where it is. */
export const handOverTankSchema = z.object({
  ...commandFields,
  tankId: z.uuid(),
  clientId: z.uuid('Who has the tank from now on?'),
  siteId: optionalId,
  on: isoDate,
})
export type HandOverTankInput = z.infer<typeof handOverTankSchema>

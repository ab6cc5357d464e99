'use server'
import { mergeSchema, oneRowSchema } from '@/lib/office/clients/schema'
import { act } from '@/lib/office/people/act'
import {
  addAgreement,
  addEquipment,
  addTank,
  archiveTank,
  changeAgreement,
  editEquipment,
  editTank,
  endAgreement,
  handOverTank,
  mergeTanks,
  replaceEquipment,
  restoreTank,
  retireEquipment,
} from '@/lib/office/tanks/commands'
import {
  addEquipmentSchema,
  addTankSchema,
  agreementSchema,
  editEquipmentSchema,
  editTankSchema,
  endAgreementSchema,
  handOverTankSchema,
  replaceEquipmentSchema,
  retireEquipmentSchema,
} from '@/lib/office/tanks/schema'

/** What has changed is shown anew, on the clients' pages and among what is due too. */
const REGISTER = { may: 'register.change', shows: ['/tanks', '/clients', '/work-due'] } as const
const TO_TANK = { ...REGISTER, next: ({ tankId }: { tankId: string }) => `/tanks/${tankId}` }

export const addTankAction = act({ ...TO_TANK, schema: addTankSchema, command: addTank })
export const editTankAction = act({ ...TO_TANK, schema: editTankSchema, command: editTank })
export const archiveTankAction = act({ ...REGISTER, schema: oneRowSchema, command: archiveTank })
export const restoreTankAction = act({ ...REGISTER, schema: oneRowSchema, command: restoreTank })
export const mergeTanksAction = act({
  ...REGISTER,
  schema: mergeSchema,
  command: mergeTanks,
  next: ({ survivorId }) => `/tanks/${survivorId}`,
})
export const handOverTankAction = act({ ...TO_TANK, schema: handOverTankSchema, command: handOverTank })

export const addEquipmentAction = act({ ...TO_TANK, schema: addEquipmentSchema, command: addEquipment })
export const editEquipmentAction = act({ ...TO_TANK, schema: editEquipmentSchema, command: editEquipment })
export const replaceEquipmentAction = act({ ...TO_TANK, schema: replaceEquipmentSchema, command: replaceEquipment })
export const retireEquipmentAction = act({ ...TO_TANK, schema: retireEquipmentSchema, command: retireEquipment })

export const addAgreementAction = act({ ...TO_TANK, schema: agreementSchema, command: addAgreement })
export const changeAgreementAction = act({ ...TO_TANK, schema: agreementSchema, command: changeAgreement })
export const endAgreementAction = act({ ...TO_TANK, schema: endAgreementSchema, command: endAgreement })

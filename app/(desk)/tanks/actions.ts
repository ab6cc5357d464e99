'use server'
import { revalidatePath } from 'next/cache'
import { runAction } from '@/lib/office/clients/run-action'
import { mergeSchema, oneRowSchema } from '@/lib/office/clients/schema'
import { requireActor } from '@/lib/office/people/session'
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

export async function addTankAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, addTankSchema, input, addTank))
}

export async function editTankAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, editTankSchema, input, editTank))
}

export async function archiveTankAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, archiveTank))
}

export async function restoreTankAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, restoreTank))
}

export async function mergeTanksAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, mergeSchema, input, mergeTanks))
}

export async function handOverTankAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, handOverTankSchema, input, handOverTank))
}

export async function addEquipmentAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, addEquipmentSchema, input, addEquipment))
}

export async function editEquipmentAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, editEquipmentSchema, input, editEquipment))
}

export async function replaceEquipmentAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, replaceEquipmentSchema, input, replaceEquipment))
}

export async function retireEquipmentAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, retireEquipmentSchema, input, retireEquipment))
}

export async function addAgreementAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, agreementSchema, input, addAgreement))
}

export async function changeAgreementAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, agreementSchema, input, changeAgreement))
}

export async function endAgreementAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, endAgreementSchema, input, endAgreement))
}

/** What has changed is shown anew, on the clients' pages and among what is due too. */
function shown<Answer extends { ok: boolean }>(answer: Answer): Answer {
  if (answer.ok) for (const path of ['/tanks', '/clients', '/work-due']) revalidatePath(path, 'layout')
  return answer
}

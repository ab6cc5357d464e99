'use server'
import { revalidatePath } from 'next/cache'
import { z } from 'zod'
import { runAction } from '@/lib/office/clients/run-action'
import { oneRowSchema } from '@/lib/office/clients/schema'
import { requireActor } from '@/lib/office/people/session'
import { addReservoir, archiveReservoir, correctLevel, editReservoir, recordLevel } from '@/lib/office/refills/commands'
import {
  addReservoirSchema,
  correctLevelSchema,
  editReservoirSchema,
  recordLevelSchema,
} from '@/lib/office/refills/schema'

export async function addReservoirAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, addReservoirSchema, input, addReservoir))
}

export async function editReservoirAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, editReservoirSchema, input, editReservoir))
}

export async function archiveReservoirAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, archiveReservoir))
}

export async function restoreReservoirAction(input: unknown) {
  const actor = await requireActor('register.change')
  const back = oneRowSchema.extend({ back: z.literal(true).default(true) })
  return shown(await runAction(actor, back, input, archiveReservoir))
}

export async function recordLevelAction(input: unknown) {
  const actor = await requireActor('visit.log')
  return shown(await runAction(actor, recordLevelSchema, input, recordLevel))
}

export async function correctLevelAction(input: unknown) {
  const actor = await requireActor('visit.log')
  return shown(await runAction(actor, correctLevelSchema, input, correctLevel))
}

/** The tank's page and Today answer anew. */
function shown<Answer extends { ok: boolean }>(answer: Answer): Answer {
  if (answer.ok) for (const path of ['/tanks', '/today']) revalidatePath(path, 'layout')
  return answer
}

'use server'
import { revalidatePath } from 'next/cache'
import {
  addClient,
  addSite,
  archiveClient,
  archiveSite,
  editClient,
  editSite,
  mergeClients,
  mergeSites,
  restoreClient,
  restoreSite,
} from '@/lib/office/clients/commands'
import { runAction } from '@/lib/office/clients/run-action'
import {
  addClientSchema,
  addSiteSchema,
  editClientSchema,
  editSiteSchema,
  mergeSchema,
  oneRowSchema,
} from '@/lib/office/clients/schema'
import { setClientCost } from '@/lib/office/intervals/commands'
import { clientCostSchema } from '@/lib/office/intervals/schema'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function addClientAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, addClientSchema, input, addClient))
}

export async function editClientAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, editClientSchema, input, editClient))
}

export async function archiveClientAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, archiveClient))
}

export async function restoreClientAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, restoreClient))
}

export async function mergeClientsAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, mergeSchema, input, mergeClients))
}

export async function addSiteAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, addSiteSchema, input, addSite))
}

export async function editSiteAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, editSiteSchema, input, editSite))
}

export async function archiveSiteAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, archiveSite))
}

export async function restoreSiteAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, oneRowSchema, input, restoreSite))
}

export async function mergeSitesAction(input: unknown) {
  const actor = await requireActor('register.change')
  return shown(await runAction(actor, mergeSchema, input, mergeSites))
}

/** What has changed is shown anew, on the tanks' pages too. */
function shown<Answer extends { ok: boolean }>(answer: Answer): Answer {
  if (answer.ok) {
    revalidatePath('/clients', 'layout')
    revalidatePath('/tanks', 'layout')
  }
  return answer
}

export async function setClientCostAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, clientCostSchema, (input) => setClientCost(actor, input))
  if (!value) return state
  revalidatePath(`/clients/${value.clientId}`)
  return { ...state, notice: 'Stated. What is due at their tanks follows.' }
}

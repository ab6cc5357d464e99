'use server'
import { revalidatePath } from 'next/cache'
import { headers } from 'next/headers'
import { redirect } from 'next/navigation'
import { changeRoles, invitePerson, makeResetLink, revokeAccess } from '@/lib/office/people/access-commands'
import { addPerson, archivePerson, editPerson, forgetPerson, restorePerson } from '@/lib/office/people/person-commands'
import { post } from '@/lib/office/people/post'
import {
  addPersonSchema,
  changeRolesSchema,
  editPersonSchema,
  type FormState,
  inviteSchema,
  membershipSchema,
  personSchema,
} from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function addPersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, addPersonSchema, (input) => addPerson(actor, input))
  if (!value) return state
  revalidatePath('/people')
  redirect(`/people/${value.personId}`)
}

export async function editPersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, editPersonSchema, (input) => editPerson(actor, input))
  return value ? saved(state, 'Saved.') : state
}

export async function archivePersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, personSchema, (input) => archivePerson(actor, input))
  return value ? saved(state, 'Put away. They can no longer sign in.') : state
}

export async function restorePersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, personSchema, (input) => restorePerson(actor, input))
  return value ? saved(state, 'Back among the people. Invite them if they should sign in.') : state
}

export async function forgetPersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, personSchema, (input) => forgetPerson(actor, input))
  if (!value) return state
  revalidatePath('/people', 'layout')
  redirect('/people')
}

export async function invitePersonAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, inviteSchema, (input) => invitePerson(actor, input))
  return value ? withLink(state, value.path) : state
}

export async function resetLinkAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, membershipSchema, (input) => makeResetLink(actor, input))
  return value ? withLink(state, value.path) : state
}

export async function changeRolesAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, changeRolesSchema, (input) => changeRoles(actor, input))
  return value ? saved(state, 'Changed. It holds from their next click.') : state
}

export async function revokeAccessAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('people.change')
  const { state, value } = await post(actor, data, membershipSchema, (input) => revokeAccess(actor, input))
  return value ? saved(state, 'Taken back. It holds from their next click.') : state
}

function saved(state: FormState, notice: string): FormState {
  revalidatePath('/people', 'layout')
  return { ...state, notice }
}

async function withLink(state: FormState, path: string | null): Promise<FormState> {
  revalidatePath('/people', 'layout')
  if (!path) return { ...state, notice: 'This link was shown once already. Make another one if it was lost.' }
  return { ...state, link: `${await ownAddress()}${path}` }
}

/** The address people reach us under: what the operator set, else where this request came to. */
async function ownAddress(): Promise<string> {
  const set = process.env.NEXTAUTH_URL?.replace(/\/+$/, '')
  return set || `http://${(await headers()).get('host') ?? 'localhost'}`
}

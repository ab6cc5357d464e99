'use server'
import { headers } from 'next/headers'
import type { Actor } from '@/lib/office/frame/actor'
import { done, type Result } from '@/lib/office/frame/result'
import { changeRoles, invitePerson, makeResetLink, revokeAccess } from '@/lib/office/people/access-commands'
import { act } from '@/lib/office/people/act'
import { addPerson, archivePerson, editPerson, forgetPerson, restorePerson } from '@/lib/office/people/person-commands'
import {
  addPersonSchema,
  changeRolesSchema,
  editPersonSchema,
  inviteSchema,
  membershipSchema,
  personSchema,
} from '@/lib/office/people/schema'

const PEOPLE = { may: 'people.change', shows: ['/people'] } as const
const shownBefore = ({ link }: { link: string | null }) =>
  link === null ? 'This link was shown once already. Make another one if it was lost.' : 'Made. Send it now.'

export const addPersonAction = act({
  ...PEOPLE,
  schema: addPersonSchema,
  command: addPerson,
  next: ({ personId }) => `/people/${personId}`,
})
export const editPersonAction = act({ ...PEOPLE, schema: editPersonSchema, command: editPerson, said: 'Saved.' })
export const archivePersonAction = act({
  ...PEOPLE,
  schema: personSchema,
  command: archivePerson,
  said: 'Put away. They can no longer sign in.',
})
export const restorePersonAction = act({
  ...PEOPLE,
  schema: personSchema,
  command: restorePerson,
  said: 'Back among the people. Invite them if they should sign in.',
})
export const forgetPersonAction = act({ ...PEOPLE, schema: personSchema, command: forgetPerson, next: '/people' })

export const invitePersonAction = act({
  ...PEOPLE,
  schema: inviteSchema,
  command: withLink(invitePerson),
  said: shownBefore,
})
export const resetLinkAction = act({
  ...PEOPLE,
  schema: membershipSchema,
  command: withLink(makeResetLink),
  said: shownBefore,
})
export const changeRolesAction = act({
  ...PEOPLE,
  schema: changeRolesSchema,
  command: changeRoles,
  said: 'Changed. It holds from their next click.',
})
export const revokeAccessAction = act({
  ...PEOPLE,
  schema: membershipSchema,
  command: revokeAccess,
  said: 'Taken back. It holds from their next click.',
})

/** The whole link instead of its path, under the address people reach us at: what the operator set, else where this request came to. */
function withLink<Input, Reason extends string>(
  make: (actor: Actor, input: Input) => Promise<Result<{ path: string | null }, Reason>>,
) {
  return async (actor: Actor, input: Input): Promise<Result<{ link: string | null }, Reason>> => {
    const result = await make(actor, input)
    if (!result.ok) return result
    const set = process.env.NEXTAUTH_URL?.replace(/\/+$/, '')
    const address = set || `http://${(await headers()).get('host') ?? 'localhost'}`
    return done({ link: result.value.path && `${address}${result.value.path}` })
  }
}

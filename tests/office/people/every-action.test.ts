import { beforeEach, describe, expect, test, vi } from 'vitest'
import { actionListed } from '@/lib/office/frame/action'
import type { Actor } from '@/lib/office/frame/actor'
import { NOT_YOURS, SIGNED_OUT } from '@/lib/office/frame/result'
import { mayDo, ROLES } from '@/lib/office/frame/role-actions'
import { everyAction } from './every-action'

/** Who is signed in, as the actions see it. */
const signedIn: { actor: Actor | null } = { actor: null }

vi.mock('next/cache', () => ({ revalidatePath: () => undefined }))
vi.mock('@/lib/office/people/session', async (original) => ({
  ...(await original<object>()),
  actorToAct: async (action: Parameters<typeof mayDo>[1]) => {
    if (!signedIn.actor) return SIGNED_OUT
    return mayDo(signedIn.actor.roles, action) ? { ok: true, actor: signedIn.actor } : NOT_YOURS
  },
  currentSession: async () => null,
  signOutHere: async () => undefined,
}))

const actions = (await everyAction()).map(({ file, name, call: action }) => ({ name: `${file} ${name}`, action }))
const UUID = '0198c000-0000-7000-8000-000000000001'
const ACTOR = { businessId: UUID, personId: UUID, membershipId: UUID, roles: ['owner'], name: 'Nora' } as const

function form(fields: Record<string, string>): FormData {
  const data = new FormData()
  for (const [name, value] of Object.entries(fields)) data.append(name, value)
  return data
}

beforeEach(() => {
  signedIn.actor = null
})

describe('every server action', () => {
  test('is made by the one wrapper', () => {
    expect(actions.length).toBeGreaterThan(60)
    expect(actions.filter(({ action }) => actionListed(action) === null).map(({ name }) => name)).toEqual([])
  })

  test.each(actions)('$name answers whatever it is sent, and nothing throws', async ({ action }) => {
    const odd = [
      undefined,
      null,
      7,
      'text',
      [],
      {},
      { businessId: UUID },
      form({}),
      form({ businessId: UUID, x: '\u0000' }),
    ]
    const isOpen = actionListed(action)?.may === 'anybody'
    for (const sent of odd) {
      const answer = await action(sent)
      // Signing out needs nothing but the wish, which even an empty form is.
      if (isOpen) expect([true, false]).toContain(answer.ok)
      else expect(answer).toMatchObject({ ok: false, reason: 'signed-out', words: SIGNED_OUT.words })
    }
    signedIn.actor = { ...ACTOR, roles: ROLES }
    for (const sent of odd) {
      const answer = await action(sent)
      if (!isOpen) expect(answer.ok).toBe(false)
      if (!answer.ok) expect(answer.reason).not.toBe('fault')
    }
  })

  test('asks for a right of the role table, for a session, or nothing at the door', () => {
    const open = actions.filter(({ action }) => actionListed(action)?.may === 'anybody').map(({ name }) => name)
    expect(open.every((name) => name.startsWith('app/(entry)/'))).toBe(true)
  })
})

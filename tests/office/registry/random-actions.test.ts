import { beforeAll, expect, test, vi } from 'vitest'
import type { Actor } from '@/lib/office/frame/actor'
import { NOT_YOURS, SIGNED_OUT } from '@/lib/office/frame/result'
import { mayDo } from '@/lib/office/frame/role-actions'
import { testDatabase } from '../../setup/database'
import { everyAction, schemasOf } from '../people/every-action'
import { sendRandomRequests, type Target } from './random-requests'

/** Who is signed in, as the actions see it. */
const signedIn: { actor: Actor | null } = { actor: null }

vi.mock('next/headers', () => ({
  headers: async () => new Headers(),
  cookies: async () => ({ get: () => undefined, set: () => undefined, delete: () => undefined }),
}))
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

beforeAll(() => testDatabase())

/** A request as a page posts it, where all of it is text; else as it is. */
function asPosted(request: unknown, at: number): unknown {
  if (at % 2 === 0 || typeof request !== 'object' || request === null || Array.isArray(request)) return request
  if (Object.values(request).some((value) => typeof value !== 'string')) return request
  const form = new FormData()
  for (const [name, value] of Object.entries(request)) form.append(name, value)
  return form
}

test('600 random requests to every action are answered, without a fault', async () => {
  let at = 0
  const targets = (await everyAction()).flatMap((action): Target[] =>
    schemasOf(action).map((schema) => ({
      name: `${action.file} ${action.name}`,
      schema,
      send: async (actor, request) => {
        signedIn.actor = actor
        at += 1
        return action.call(asPosted(request, at))
      },
    })),
  )
  expect(targets.length).toBeGreaterThan(60)
  const { answered } = await sendRandomRequests(targets, 600, 7)
  expect(answered).toBe(600)
}, 600_000)

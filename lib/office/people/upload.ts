import 'server-only'
import { isFromHere } from '@/lib/platform/web/from-here'
import { readForm } from '@/lib/platform/web/read-form'
import type { Actor } from '../frame/actor'
import type { Action } from '../frame/role-actions'
import { actorToAct } from './session'

type Upload = {
  action: Action
  mostBytes: number
  words: { signedOut: string; tooLarge: string; noForm: string }
}

/** HTTP status by the reason of a refusal; what is not here is something to be put right in the form: 422. */
const STATUS: Partial<Record<string, number>> = {
  'signed-out': 401,
  'not-allowed': 403,
  'too-large': 413,
  'other-business': 409,
}

/**
 * The beginning of every route that takes files: who sends, whether from a page of ours, and the form as far as it may be
 * long. The answer is the form, or a response that refuses in words; nothing is read from somebody who may not send.
 */
export async function readUpload(
  request: Request,
  { action, mostBytes, words }: Upload,
): Promise<{ ok: true; actor: Actor; form: FormData } | { ok: false; response: Response }> {
  const refuse = (reason: string, text: string) => ({ ok: false as const, response: refusal({ reason, words: text }) })
  if (!isFromHere(request)) return refuse('not-allowed', 'This did not come from a page of this site.')
  const asked = await actorToAct(action)
  if (!asked.ok) return refuse(asked.reason, asked.reason === 'signed-out' ? words.signedOut : asked.words)
  const form = await readForm(request, mostBytes)
  if (form === 'too-large') return refuse('too-large', words.tooLarge)
  if (form === 'no-form') return refuse('invalid', words.noForm)
  return { ok: true, actor: asked.actor, form }
}

/** A refusal as a response; its reason and words stand in the body. */
export function refusal(result: { reason: string; words?: string | undefined; fields?: unknown }): Response {
  return Response.json({ ok: false, ...result }, { status: STATUS[result.reason] ?? 422 })
}

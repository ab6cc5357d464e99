import 'server-only'
import { type ActionDefinition, defineAction, fieldsOf } from '../frame/action'
import type { Actor } from '../frame/actor'
import { OTHER_BUSINESS, type Result, refused, SIGNED_OUT } from '../frame/result'
import type { Action } from '../frame/role-actions'
import type { FormAction } from '../frame/schema'
import { actorToAct, currentSession } from './session'
import { TooManyTries } from './sign-in-limit'

type Written<Who, Input, Value, Reason extends string> = Omit<
  ActionDefinition<Who, Input, Value, Reason>,
  'may' | 'admit' | 'check'
>

const OTHER_PERSON = {
  ok: false,
  reason: 'other-business',
  words: 'Somebody else has signed in here since this page was opened. Nothing was saved. Reload the page.',
} as const

/** An action of somebody of a business, who may do this, on a page that was made for that business and that person. */
export function act<Input extends { businessId: string }, Value, Reason extends string>({
  may,
  ...written
}: Written<Actor, Input, Value, Reason> & { may: Action }): FormAction<Value> {
  return defineAction({
    ...written,
    may,
    admit: async () => {
      const asked = await actorToAct(may)
      return asked.ok ? { ok: true, who: asked.actor } : asked
    },
    check: (actor, input, sent) => {
      if (input.businessId !== actor.businessId) return OTHER_BUSINESS
      const { typedBy } = fieldsOf(sent)
      return typedBy === undefined || typedBy === actor.personId ? null : OTHER_PERSON
    },
  })
}

type Session = NonNullable<Awaited<ReturnType<typeof currentSession>>>

/** An action of somebody on their own sign-in, in whichever business they are. */
export function actSignedIn<Input, Value, Reason extends string>(
  written: Written<Session, Input, Value, Reason>,
): FormAction<Value> {
  const admit = async () => {
    const session = await currentSession()
    return session ? { ok: true as const, who: session } : SIGNED_OUT
  }
  return defineAction({ ...written, command: untilTooMany(written.command), may: 'whoever-is-signed-in', admit })
}

/** An action for whoever comes to the door. It answers that it was done, and nothing more. */
export function actAnybody<Input, Reason extends string>(
  written: Written<null, Input, null, Reason>,
): FormAction<null> {
  const admit = async () => ({ ok: true as const, who: null })
  return defineAction({ ...written, command: untilTooMany(written.command), may: 'anybody', admit })
}

/** Too many tries with a password are an answer, too. */
function untilTooMany<Who, Input, Value, Reason extends string>(
  command: (who: Who, input: Input) => Promise<Result<Value, Reason>>,
): (who: Who, input: Input) => Promise<Result<Value, Reason | 'too-many-tries'>> {
  return async (who, input) => {
    try {
      return await command(who, input)
    } catch (error) {
      if (error instanceof TooManyTries) return refused('too-many-tries', error.message)
      throw error
    }
  }
}

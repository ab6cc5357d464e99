'use server'
import { z } from 'zod'
import { done, invalid } from '@/lib/office/frame/result'
import { changePassword, signOutEverywhere, switchTo } from '@/lib/office/people/account'
import { actSignedIn } from '@/lib/office/people/act'
import { changePasswordSchema } from '@/lib/office/people/schema'
import { signInHere, signOutHere } from '@/lib/office/people/session'
import { endSession } from '@/lib/office/people/sessions'
import { currentVisitor } from '@/lib/platform/auth/visitor'

export const changePasswordAction = actSignedIn({
  schema: changePasswordSchema,
  command: async ({ session }, input) => {
    const { address } = await currentVisitor()
    const result = await changePassword(session, input, address)
    if (result.ok) {
      await signInHere(result.value)
      return done(null)
    }
    const field = result.reason === 'weak-password' ? 'newPassword' : 'oldPassword'
    return invalid({ [field]: [result.words ?? ''] })
  },
  said: 'Changed. Every other device is signed out.',
})

export const signOutEverywhereAction = actSignedIn({
  schema: z.object({}),
  command: async ({ session }) => {
    await signOutEverywhere(session)
    await signOutHere()
    return done(null)
  },
  next: '/sign-in',
})

/** Ends one session, on a device that is not at hand. */
export const endSessionAction = actSignedIn({
  schema: z.object({ sessionId: z.uuid() }),
  command: async ({ session }, { sessionId }) => done(await endSession(session, sessionId, new Date())),
  shows: ['/account'],
})

export const switchBusinessAction = actSignedIn({
  schema: z.object({ membershipId: z.uuid() }),
  command: async ({ session }, { membershipId }) => done(await switchTo(session, membershipId)),
  next: '/',
})

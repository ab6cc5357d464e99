'use server'
import { done, refused } from '@/lib/office/frame/result'
import { actAnybody } from '@/lib/office/people/act'
import { safeBackPath } from '@/lib/office/people/back-path'
import { signInSchema } from '@/lib/office/people/schema'
import { signInHere } from '@/lib/office/people/session'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { currentVisitor } from '@/lib/platform/auth/visitor'

/** Signs in and goes on to where somebody was led here from; `back` comes from the address and is not believed. */
export const signInAction = actAnybody({
  schema: signInSchema,
  command: async (_nobody, credentials) => {
    const { address } = await currentVisitor()
    const proven = await lookUpLogin({ ...credentials, address })
    const isIn = proven !== null && (await signInHere(proven))
    return isIn ? done(null) : refused('unknown', 'This e-mail address and password do not belong together.')
  },
  next: (_value, { back }) => safeBackPath(back),
})

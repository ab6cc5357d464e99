'use server'
import { done, invalid } from '@/lib/office/frame/result'
import { actAnybody } from '@/lib/office/people/act'
import { byLink, newPasswordSchema } from '@/lib/office/people/schema'
import { signOutHere } from '@/lib/office/people/session'
import { resetPassword } from '@/lib/office/people/use-links'
import { currentVisitor } from '@/lib/platform/auth/visitor'

export const resetAction = actAnybody({
  schema: byLink(newPasswordSchema),
  command: async (_nobody, { token, password }) => {
    const { address } = await currentVisitor()
    const result = await resetPassword({ token, password, address })
    if (result.ok) {
      await signOutHere()
      return done(null)
    }
    return result.reason === 'weak-password' ? invalid({ password: [result.words ?? ''] }) : result
  },
  next: '/sign-in',
})

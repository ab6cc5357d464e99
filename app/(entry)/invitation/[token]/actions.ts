'use server'
import { done, invalid } from '@/lib/office/frame/result'
import { actAnybody } from '@/lib/office/people/act'
import { byLink, joinSchema } from '@/lib/office/people/schema'
import { signInHere } from '@/lib/office/people/session'
import { acceptInvitation } from '@/lib/office/people/use-links'
import { currentVisitor } from '@/lib/platform/auth/visitor'

export const joinAction = actAnybody({
  schema: byLink(joinSchema),
  command: async (_nobody, { token, password }) => {
    const { address } = await currentVisitor()
    const result = await acceptInvitation({ token, password, address })
    if (result.ok) {
      await signInHere(result.value)
      return done(null)
    }
    if (result.reason === 'wrong-password' || result.reason === 'weak-password')
      return invalid({ password: [result.words ?? ''] })
    return result
  },
  next: '/',
})

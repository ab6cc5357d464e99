'use server'
import { done, invalid } from '@/lib/office/frame/result'
import { actAnybody } from '@/lib/office/people/act'
import { firstRunCode, isFirstRunCode, makeFirstBusiness } from '@/lib/office/people/first-run'
import { firstRunSchema } from '@/lib/office/people/schema'
import { signInHere } from '@/lib/office/people/session'
import { countTry } from '@/lib/office/people/sign-in-limit'
import { currentVisitor } from '@/lib/platform/auth/visitor'

export const firstRunAction = actAnybody({
  schema: firstRunSchema,
  command: async (_nobody, { code, ...input }) => {
    const needed = firstRunCode()
    if (needed !== null) await countTry({ email: 'first run', ...(await currentVisitor()) }, new Date())
    if (needed !== null && !isFirstRunCode(code, needed))
      return invalid({ code: ['This is not the code that was printed when the program started.'] })
    const result = await makeFirstBusiness(input)
    if (result.ok) {
      await signInHere(result.value)
      return done(null)
    }
    return result.reason === 'weak-password' ? invalid({ password: [result.words ?? ''] }) : result
  },
  next: '/',
})

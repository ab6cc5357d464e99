'use server'
import { z } from 'zod'
import { done } from '@/lib/office/frame/result'
import { actAnybody } from '@/lib/office/people/act'
import { signOutHere } from '@/lib/office/people/session'

/** Ends the session, on this device and for whoever kept its cookie. */
export const signOutAction = actAnybody({
  schema: z.object({}),
  command: async () => {
    await signOutHere()
    return done(null)
  },
  next: '/sign-in',
})

'use server'
import { headers } from 'next/headers'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { type FormState, joinSchema, textFields } from '@/lib/office/people/schema'
import { TooManyTries } from '@/lib/office/people/sign-in-limit'
import { acceptInvitation } from '@/lib/office/people/use-links'
import { addressFrom } from '@/lib/platform/auth/options'
import { writeSession } from '@/lib/platform/auth/session-cookie'

export async function joinAction(token: string, _before: FormState, data: FormData): Promise<FormState> {
  const parsed = joinSchema.safeParse(textFields(data))
  if (!parsed.success) return { typed: {}, fields: z.flattenError(parsed.error).fieldErrors }
  const address = addressFrom((await headers()).get('x-forwarded-for'))
  try {
    const result = await acceptInvitation({ token: String(token), password: parsed.data.password, address })
    if (!result.ok) {
      const words = result.words ?? 'This did not work.'
      const isPassword = result.reason === 'wrong-password' || result.reason === 'weak-password'
      return isPassword ? { typed: {}, fields: { password: [words] } } : { typed: {}, fields: {}, problem: words }
    }
    await writeSession(result.value)
  } catch (error) {
    if (error instanceof TooManyTries) return { typed: {}, fields: {}, problem: error.message }
    throw error
  }
  redirect('/')
}

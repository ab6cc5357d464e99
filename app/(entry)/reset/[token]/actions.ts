'use server'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { type FormState, newPasswordSchema, textFields } from '@/lib/office/people/schema'
import { resetPassword } from '@/lib/office/people/use-links'
import { dropSession } from '@/lib/platform/auth/session-cookie'

export async function resetAction(token: string, _before: FormState, data: FormData): Promise<FormState> {
  const parsed = newPasswordSchema.safeParse(textFields(data))
  if (!parsed.success) return { typed: {}, fields: z.flattenError(parsed.error).fieldErrors }
  const result = await resetPassword({ token: String(token), password: parsed.data.password })
  if (!result.ok) return { typed: {}, fields: {}, problem: result.words }
  await dropSession()
  redirect('/sign-in')
}

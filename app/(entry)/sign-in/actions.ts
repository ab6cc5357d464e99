'use server'
import { headers } from 'next/headers'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { type FormState, signInSchema, textFields, typedAgain } from '@/lib/office/people/schema'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { TooManyTries } from '@/lib/office/people/sign-in-limit'
import { addressFrom } from '@/lib/platform/auth/options'
import { writeSession } from '@/lib/platform/auth/session-cookie'

export async function signInAction(_before: FormState, data: FormData): Promise<FormState> {
  const fields = textFields(data)
  const typed = typedAgain(fields)
  const parsed = signInSchema.safeParse(fields)
  if (!parsed.success) return { typed, fields: z.flattenError(parsed.error).fieldErrors }
  const address = addressFrom((await headers()).get('x-forwarded-for'))
  try {
    const claims = await lookUpLogin({ ...parsed.data, address })
    if (!claims) return { typed, fields: {}, problem: 'This e-mail address and password do not belong together.' }
    await writeSession(claims)
  } catch (error) {
    if (error instanceof TooManyTries) return { typed, fields: {}, problem: error.message }
    throw error
  }
  redirect('/')
}

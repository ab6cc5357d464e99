'use server'
import { headers } from 'next/headers'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { changePassword, signOutEverywhere, switchTo } from '@/lib/office/people/account'
import { changePasswordSchema, type FormState, textFields } from '@/lib/office/people/schema'
import { requireSession } from '@/lib/office/people/session'
import { TooManyTries } from '@/lib/office/people/sign-in-limit'
import { addressFrom } from '@/lib/platform/auth/options'
import { dropSession, writeSession } from '@/lib/platform/auth/session-cookie'

export async function changePasswordAction(_before: FormState, data: FormData): Promise<FormState> {
  const { claims } = await requireSession()
  const parsed = changePasswordSchema.safeParse(textFields(data))
  if (!parsed.success) return { typed: {}, fields: z.flattenError(parsed.error).fieldErrors }
  const address = addressFrom((await headers()).get('x-forwarded-for'))
  try {
    const result = await changePassword(claims, parsed.data, address)
    if (!result.ok) return { typed: {}, fields: { oldPassword: [result.words ?? ''] } }
    await writeSession(result.value)
    return { typed: {}, fields: {}, notice: 'Changed. Every other device is signed out.' }
  } catch (error) {
    if (error instanceof TooManyTries) return { typed: {}, fields: {}, problem: error.message }
    throw error
  }
}

export async function signOutEverywhereAction(): Promise<void> {
  const { claims } = await requireSession()
  await signOutEverywhere(claims)
  await dropSession()
  redirect('/sign-in')
}

export async function switchBusinessAction(data: FormData): Promise<void> {
  const { claims } = await requireSession()
  const membershipId = z.uuid().safeParse(data.get('membershipId'))
  const next = membershipId.success ? await switchTo(claims, membershipId.data) : null
  if (next) await writeSession(next)
  redirect('/')
}

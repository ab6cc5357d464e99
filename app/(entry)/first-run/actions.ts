'use server'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { makeFirstBusiness } from '@/lib/office/people/first-run'
import { type FormState, firstRunSchema, textFields, typedAgain } from '@/lib/office/people/schema'
import { writeSession } from '@/lib/platform/auth/session-cookie'

export async function firstRunAction(_before: FormState, data: FormData): Promise<FormState> {
  const fields = textFields(data)
  const typed = typedAgain(fields)
  const parsed = firstRunSchema.safeParse(fields)
  if (!parsed.success) return { typed, fields: z.flattenError(parsed.error).fieldErrors }
  const result = await makeFirstBusiness(parsed.data)
  if (!result.ok) return { typed, fields: {}, problem: result.words }
  await writeSession(result.value)
  redirect('/')
}

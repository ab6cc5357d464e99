'use server'
import { revalidatePath } from 'next/cache'
import { z } from 'zod'
import type { Actor } from '@/lib/office/actor'
import { requireActor } from '@/lib/office/people/session'
import { importRecords, withdrawImport } from '@/lib/office/records/commands'
import { dryRunImport } from '@/lib/office/records/queries'
import type { DryRun, WithdrawState } from '@/lib/office/records/result'
import { importFormSchema, withdrawSchema } from '@/lib/office/records/schema'
import { invalid, OTHER_BUSINESS, type Result } from '@/lib/office/result'

/** Looks at the files and says what would be brought; writes nothing and keeps nothing. */
export async function lookAtRecordsAction(data: FormData): Promise<Result<DryRun>> {
  const actor = await requireActor('records.import')
  const form = await readForm(actor, data)
  return form.ok ? { ok: true, value: await dryRunImport(actor, form.value) } : form
}

/** Brings the files in, all or nothing. */
export async function bringRecordsAction(data: FormData): Promise<Result<{ batchId: string }, 'not-ready'>> {
  const actor = await requireActor('records.import')
  const form = await readForm(actor, data)
  if (!form.ok) return form
  const result = await importRecords(actor, form.value)
  if (!result.ok) return result
  revalidatePath('/', 'layout') // every list may have changed
  return { ok: true, value: { batchId: result.value.batchId } }
}

/** Takes an import back, or says what stands in the way. */
export async function withdrawImportAction(_before: WithdrawState, data: FormData): Promise<WithdrawState> {
  const actor = await requireActor('records.import')
  const parsed = withdrawSchema.safeParse(Object.fromEntries(data))
  if (!parsed.success) return { problem: ['This form is out of date. Reload the page.'] }
  const result = await withdrawImport(actor, parsed.data)
  if (!result.ok) return { problem: (result.words ?? 'This could not be done.').split('\n') }
  revalidatePath('/', 'layout')
  return { problem: [] }
}

async function readForm(actor: Actor, data: FormData) {
  const parsed = importFormSchema.safeParse({
    ...Object.fromEntries(['businessId', 'commandId', 'options', 'mapping'].map((name) => [name, data.get(name)])),
    files: data.getAll('files'),
  })
  if (!parsed.success) {
    const { fieldErrors } = z.flattenError(parsed.error)
    return invalid(fieldErrors, fieldErrors.files?.[0] ?? 'This form is out of date. Reload the page.')
  }
  const { files, ...rest } = parsed.data
  if (rest.businessId !== actor.businessId) return OTHER_BUSINESS
  const read = files.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) }))
  return { ok: true as const, value: { ...rest, files: await Promise.all(read) } }
}

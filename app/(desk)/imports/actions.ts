'use server'
import { withdrawImport } from '@/lib/office/old-records/commands'
import { withdrawSchema } from '@/lib/office/old-records/schema'
import { act } from '@/lib/office/people/act'

/** Takes an import back, or says what stands in the way. Every list may have changed. */
export const withdrawImportAction = act({
  may: 'records.import',
  schema: withdrawSchema,
  command: withdrawImport,
  shows: ['/'],
})

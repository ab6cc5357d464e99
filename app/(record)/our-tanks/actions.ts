'use server'
import { askForVisit } from '@/lib/office/client-record/commands'
import { askForVisitSchema } from '@/lib/office/client-record/schema'
import { act } from '@/lib/office/people/act'

export const askForVisitAction = act({
  may: 'record.ask',
  schema: askForVisitSchema,
  command: askForVisit,
  shows: ['/our-tanks'],
  next: (_value, { tankId }) => `/our-tanks/${tankId}?asked=1#asked`,
})

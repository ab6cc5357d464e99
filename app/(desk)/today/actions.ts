'use server'
import { doneFollowUp } from '@/lib/office/follow-ups/commands'
import { doneFollowUpSchema } from '@/lib/office/follow-ups/schema'
import { act } from '@/lib/office/people/act'

export const keepPromiseAction = act({
  may: 'visit.log',
  schema: doneFollowUpSchema,
  command: doneFollowUp,
  shows: ['/today'],
})

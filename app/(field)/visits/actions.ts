'use server'
import { act } from '@/lib/office/people/act'
import { readVisitForm, submitVisitCommand, visitFormSchema } from '@/lib/office/visits/say'

/** One thing said during a visit, shown at once. */
export const visitCommandAction = act({
  may: 'visit.log',
  read: readVisitForm,
  schema: visitFormSchema,
  command: submitVisitCommand,
  shows: ['/visits', '/route'],
  next: ({ visitId }, { next }) => (next === undefined ? undefined : `/visits/${visitId}${next}`),
})

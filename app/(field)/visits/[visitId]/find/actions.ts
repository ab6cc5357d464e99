'use server'
import { writeFoundCause } from '@/lib/office/causes/commands'
import { foundCauseSchema } from '@/lib/office/causes/schema'
import { act } from '@/lib/office/people/act'

/** The end of a search for a cause: the case, the finding, the work and what was promised. */
export const foundCauseAction = act({
  may: 'visit.log',
  schema: foundCauseSchema,
  command: writeFoundCause,
  shows: ['/visits', '/route'],
  next: ({ visitId, leadsTo }) =>
    leadsTo === '' ? `/visits/${visitId}/work` : `/visits/${visitId}/find?sign=${leadsTo}`,
})

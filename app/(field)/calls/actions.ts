'use server'
import { logCall } from '@/lib/office/calls/commands'
import { logCallSchema } from '@/lib/office/calls/schema'
import { act } from '@/lib/office/people/act'

/** What was told on the telephone. */
export const logCallAction = act({
  may: 'visit.log',
  schema: logCallSchema,
  command: logCall,
  shows: ['/calls', '/visits'],
  said: 'The call is written down.',
})

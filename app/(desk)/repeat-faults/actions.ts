'use server'
import { correctRemedy, recordRemedy, takeBackRemedy } from '@/lib/office/faults/commands'
import { correctRemedySchema, recordRemedySchema, takeBackRemedySchema } from '@/lib/office/faults/schema'
import { act } from '@/lib/office/people/act'

const FAULTS = { may: 'faults.change', shows: ['/repeat-faults'] } as const

export const recordRemedyAction = act({
  ...FAULTS,
  schema: recordRemedySchema,
  command: recordRemedy,
  said: 'Written down. The fault is watched from now on.',
})
export const correctRemedyAction = act({
  ...FAULTS,
  schema: correctRemedySchema,
  command: correctRemedy,
  said: 'Corrected.',
})
export const takeBackRemedyAction = act({
  ...FAULTS,
  schema: takeBackRemedySchema,
  command: takeBackRemedy,
  said: 'Taken back.',
})

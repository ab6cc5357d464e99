'use server'
import { decideInterval, setInterval } from '@/lib/office/intervals/commands'
import { decideSchema, setIntervalSchema, takeBackSchema } from '@/lib/office/intervals/schema'
import { takeBackAnswer } from '@/lib/office/intervals/take-back'
import { act } from '@/lib/office/people/act'

const DUE = { may: 'due.change', shows: ['/work-due'] } as const
/** The question is gone from the page, and its form with it: the page itself says what was decided. */
const toDecided = (_value: unknown, { commandId }: { commandId: string }) => `/work-due/intervals?decided=${commandId}`

export const decideIntervalAction = act({ ...DUE, schema: decideSchema, command: decideInterval, next: toDecided })
export const takeBackAction = act({ ...DUE, schema: takeBackSchema, command: takeBackAnswer, next: toDecided })
export const setIntervalAction = act({
  ...DUE,
  schema: setIntervalSchema,
  command: setInterval,
  said: 'Set. It holds until you change it.',
})

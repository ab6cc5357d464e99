'use server'
import { revalidatePath } from 'next/cache'
import { bookDueForm, bookedWords } from '@/lib/office/booking/book-due-form'
import {
  answerRequest,
  bookFromRequest,
  bookVisit,
  cancelVisit,
  moveVisit,
  setOutOfHours,
} from '@/lib/office/booking/commands'
import { weekOfDay } from '@/lib/office/booking/local-time'
import {
  answerRequestSchema,
  bookFromRequestSchema,
  bookVisitSchema,
  cancelVisitSchema,
  dueFormSchema,
  moveVisitSchema,
  outOfHoursSchema,
} from '@/lib/office/booking/schema'
import { act } from '@/lib/office/people/act'

const PLAN = { may: 'plan.change', shows: ['/plan', '/today'] } as const

/** To the week in which the visit now stands. */
const toWeek =
  (said: 'booked' | 'moved') =>
  (_value: unknown, { date }: { date: string }) =>
    `/plan?week=${weekOfDay(date)}&said=${said}`

export const bookVisitAction = act({ ...PLAN, schema: bookVisitSchema, command: bookVisit, next: toWeek('booked') })
export const bookFromRequestAction = act({
  ...PLAN,
  schema: bookFromRequestSchema,
  command: bookFromRequest,
  next: toWeek('booked'),
})
export const moveVisitAction = act({ ...PLAN, schema: moveVisitSchema, command: moveVisit, next: toWeek('moved') })
export const cancelVisitAction = act({
  ...PLAN,
  schema: cancelVisitSchema,
  command: cancelVisit,
  next: ({ visitId }) => `/plan/visits/${visitId}`,
})
export const setOutOfHoursAction = act({
  ...PLAN,
  shows: ['/plan', '/money'],
  schema: outOfHoursSchema,
  command: setOutOfHours,
})
export const answerRequestAction = act({ ...PLAN, schema: answerRequestSchema, command: answerRequest })
export const bookDueAction = act({
  ...PLAN,
  schema: dueFormSchema,
  command: async (actor, input) => {
    const result = await bookDueForm(actor, input)
    // Some may be booked although others do not fit.
    if (!result.ok) for (const path of PLAN.shows) revalidatePath(path, 'layout')
    return result
  },
  said: ({ booked }) => bookedWords(booked),
})

'use server'
import { z } from 'zod'
import { oneRowSchema } from '@/lib/office/clients/schema'
import { act } from '@/lib/office/people/act'
import { addReservoir, archiveReservoir, correctLevel, editReservoir, recordLevel } from '@/lib/office/refills/commands'
import {
  addReservoirSchema,
  correctLevelSchema,
  editReservoirSchema,
  recordLevelSchema,
} from '@/lib/office/refills/schema'

type Made = { reservoirId: string; tankId: string }

/** The tank's page and Today answer anew. */
const SHOWN = { shows: ['/tanks', '/today'] } as const
const RESERVOIR = { ...SHOWN, may: 'register.change' } as const
const LEVEL = { ...SHOWN, may: 'visit.log', said: 'Written down.' } as const

export const addReservoirAction = act({
  ...RESERVOIR,
  schema: addReservoirSchema,
  command: addReservoir,
  next: ({ tankId, reservoirId }: Made) => `/tanks/${tankId}/refills/${reservoirId}`,
})
export const editReservoirAction = act({
  ...RESERVOIR,
  schema: editReservoirSchema,
  command: editReservoir,
  said: 'Saved.',
})
export const archiveReservoirAction = act({ ...RESERVOIR, schema: oneRowSchema, command: archiveReservoir })
export const restoreReservoirAction = act({
  ...RESERVOIR,
  schema: oneRowSchema.extend({ back: z.literal(true).default(true) }),
  command: archiveReservoir,
})
export const recordLevelAction = act({ ...LEVEL, schema: recordLevelSchema, command: recordLevel })
export const correctLevelAction = act({ ...LEVEL, schema: correctLevelSchema, command: correctLevel })

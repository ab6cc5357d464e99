'use server'
import { addLot, editLot, takeBackUse, tickLot } from '@/lib/office/lots/commands'
import { addLotSchema, editLotSchema, takeBackUseSchema, tickLotSchema } from '@/lib/office/lots/schema'
import { act } from '@/lib/office/people/act'

const LOTS = { may: 'parts.change', shows: ['/parts/lots', '/today'] } as const
const tanks = (count: number) => (count === 1 ? 'one tank' : `${count} tanks`)

export const addLotAction = act({
  ...LOTS,
  schema: addLotSchema,
  command: addLot,
  next: ({ lotId }) => `/parts/lots/${lotId}`,
})
export const editLotAction = act({ ...LOTS, schema: editLotSchema, command: editLot, said: 'Saved.' })
export const tickLotAction = act({
  ...LOTS,
  schema: tickLotSchema,
  command: tickLot,
  said: ({ added }) => (added === 0 ? 'These were written down already.' : `Written down for ${tanks(added)}.`),
})
export const takeBackUseAction = act({ ...LOTS, schema: takeBackUseSchema, command: takeBackUse, said: 'Taken back.' })

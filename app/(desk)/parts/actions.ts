'use server'
import {
  addFit,
  addPart,
  addPlace,
  addSupplier,
  archivePart,
  archivePlace,
  archiveSupplier,
  closeOrder,
  correctStockMove,
  countPlace,
  editPart,
  editPlace,
  editSupplier,
  moveStock,
  placeOrders,
  receive,
  removeFit,
  takeOff,
} from '@/lib/office/parts/commands'
import {
  addFitSchema,
  addPartSchema,
  addPlaceSchema,
  addSupplierSchema,
  closeOrderSchema,
  correctMoveSchema,
  countSchema,
  editPartSchema,
  editPlaceSchema,
  editSupplierSchema,
  moveSchema,
  onePartSchema,
  onePlaceSchema,
  oneSupplierSchema,
  placeOrdersSchema,
  receiveSchema,
  removeFitSchema,
  takeOffSchema,
} from '@/lib/office/parts/schema'
import { act } from '@/lib/office/people/act'

const PARTS = { may: 'parts.change', shows: ['/parts', '/today', '/route'] } as const
const SAVED = { ...PARTS, said: 'Saved.' } as const

export const addPartAction = act({
  ...PARTS,
  schema: addPartSchema,
  command: addPart,
  next: ({ partId }) => `/parts/${partId}`,
})
export const editPartAction = act({ ...SAVED, schema: editPartSchema, command: editPart })
export const archivePartAction = act({ ...PARTS, schema: onePartSchema, command: archivePart, next: '/parts' })
export const addFitAction = act({ ...SAVED, schema: addFitSchema, command: addFit })
export const removeFitAction = act({ ...SAVED, schema: removeFitSchema, command: removeFit })

export const receiveAction = act({ ...PARTS, schema: receiveSchema, command: receive, said: 'It lies there now.' })
export const moveStockAction = act({ ...PARTS, schema: moveSchema, command: moveStock, said: 'Moved.' })
export const takeOffAction = act({ ...PARTS, schema: takeOffSchema, command: takeOff, said: 'Taken off.' })
export const correctMoveAction = act({
  ...PARTS,
  schema: correctMoveSchema,
  command: correctStockMove,
  said: 'Put right.',
})
export const countAction = act({ ...PARTS, schema: countSchema, command: countPlace, said: 'The count is saved.' })

export const placeOrdersAction = act({
  ...PARTS,
  schema: placeOrdersSchema,
  command: placeOrders,
  said: 'Written down as ordered.',
})
export const closeOrderAction = act({ ...PARTS, schema: closeOrderSchema, command: closeOrder, said: 'Closed.' })

export const addPlaceAction = act({ ...SAVED, schema: addPlaceSchema, command: addPlace })
export const editPlaceAction = act({ ...SAVED, schema: editPlaceSchema, command: editPlace })
export const archivePlaceAction = act({ ...SAVED, schema: onePlaceSchema, command: archivePlace })
export const addSupplierAction = act({ ...SAVED, schema: addSupplierSchema, command: addSupplier })
export const editSupplierAction = act({ ...SAVED, schema: editSupplierSchema, command: editSupplier })
export const archiveSupplierAction = act({ ...SAVED, schema: oneSupplierSchema, command: archiveSupplier })

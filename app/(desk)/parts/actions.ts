'use server'
import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import type { z } from 'zod'
import type { Actor } from '@/lib/office/actor'
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
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'
import type { Result } from '@/lib/office/result'

/** Who asks, what was typed, one command, and the pages that show it. */
async function run<Input extends { businessId: string }, Value, Reason extends string>(
  data: FormData,
  schema: z.ZodType<Input>,
  command: (actor: Actor, input: Input) => Promise<Result<Value, Reason>>,
  notice = 'Saved.',
): Promise<{ state: FormState; value: Value | null }> {
  const actor = await requireActor('parts.change')
  const { state, value } = await post(actor, data, schema, (input) => command(actor, input))
  if (value === null) return { state, value }
  revalidatePath('/parts', 'layout')
  revalidatePath('/today')
  revalidatePath('/route')
  return { state: { ...state, notice }, value }
}

export async function addPartAction(_before: FormState, data: FormData): Promise<FormState> {
  const { state, value } = await run(data, addPartSchema, addPart)
  if (value) redirect(`/parts/${value.partId}`)
  return state
}
export async function editPartAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, editPartSchema, editPart)).state
}
export async function archivePartAction(_before: FormState, data: FormData): Promise<FormState> {
  const { state, value } = await run(data, onePartSchema, archivePart)
  if (value) redirect('/parts')
  return state
}
export async function addFitAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, addFitSchema, addFit)).state
}
export async function removeFitAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, removeFitSchema, removeFit)).state
}
export async function receiveAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, receiveSchema, receive, 'It lies there now.')).state
}
export async function moveStockAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, moveSchema, moveStock, 'Moved.')).state
}
export async function takeOffAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, takeOffSchema, takeOff, 'Taken off.')).state
}
export async function correctMoveAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, correctMoveSchema, correctStockMove, 'Put right.')).state
}
export async function countAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, countSchema, countPlace, 'The count is saved.')).state
}
export async function placeOrdersAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, placeOrdersSchema, placeOrders, 'Written down as ordered.')).state
}
export async function closeOrderAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, closeOrderSchema, closeOrder, 'Closed.')).state
}
export async function addPlaceAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, addPlaceSchema, addPlace)).state
}
export async function editPlaceAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, editPlaceSchema, editPlace)).state
}
export async function archivePlaceAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, onePlaceSchema, archivePlace)).state
}
export async function addSupplierAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, addSupplierSchema, addSupplier)).state
}
export async function editSupplierAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, editSupplierSchema, editSupplier)).state
}
export async function archiveSupplierAction(_before: FormState, data: FormData): Promise<FormState> {
  return (await run(data, oneSupplierSchema, archiveSupplier)).state
}

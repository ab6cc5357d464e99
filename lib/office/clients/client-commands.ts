import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Actor } from '../actor'
import { done, type Result, refused } from '../result'
import { clientHindrances } from './hindrances'
import { changeRegister, notThere, type RegisterContext, type RegisterReason } from './register-command'
import type { AddClientInput, ClientFields, EditClientInput, OneRowInput } from './schema'

type ClientResult = Promise<Result<{ clientId: string }, RegisterReason>>

/** Adds a client. The client's id is the command's. */
export function addClient(actor: Actor, input: AddClientInput): ClientResult {
  return changeRegister(actor, 'client.add', input, async (context) => {
    const { tx, commandId, audit } = context
    const client = await tx.client.create({
      data: { businessId: actor.businessId, id: commandId, ...columnsOf(input) },
    })
    await tx.clientPrivate.create({
      data: { businessId: actor.businessId, id: commandId, clientId: commandId, note: input.note },
    })
    await audit('client', commandId, 'add', undefined, { ...client, note: input.note })
    return done({ clientId: commandId })
  })
}

/** Changes what is written about a client. Issued invoices keep what they were issued with. */
export function editClient(actor: Actor, input: EditClientInput): ClientResult {
  return changeRegister(actor, 'client.edit', input, async (context) => {
    const { tx, commandId, audit } = context
    const before = await findOwnClient(context, input.clientId)
    if (!before) return notThere('client')
    const where = { businessId_id: { businessId: actor.businessId, id: input.clientId } }
    const after = await tx.client.update({ where, data: columnsOf(input) })
    await tx.clientPrivate.upsert({
      where: { businessId_clientId: { businessId: actor.businessId, clientId: input.clientId } },
      create: { businessId: actor.businessId, id: commandId, clientId: input.clientId, note: input.note },
      update: { note: input.note },
    })
    const { clientPrivate, ...columns } = before
    await audit(
      'client',
      input.clientId,
      'edit',
      { ...columns, note: clientPrivate?.note ?? '' },
      { ...after, note: input.note },
    )
    return done({ clientId: input.clientId })
  })
}

/** Puts a client away. Refused, with a list, while invoices are open, visits are booked or tanks are in care. */
export function archiveClient(actor: Actor, input: OneRowInput): ClientResult {
  return changeRegister(actor, 'client.archive', input, async (context) => {
    const before = await findOwnClient(context, input.id)
    if (!before) return notThere('client')
    if (before.archivedAt) return refused('already-so', `${before.name} is already archived.`)
    const hindrances = await clientHindrances(context.tx, actor.businessId, input.id)
    if (hindrances.length > 0)
      return refused('in-use', `${before.name} cannot be archived yet: ${hindrances.join('; ')}.`)
    return setArchived(context, before, context.madeAt)
  })
}

/** Takes a client out of the archive. */
export function restoreClient(actor: Actor, input: OneRowInput): ClientResult {
  return changeRegister(actor, 'client.restore', input, async (context) => {
    const before = await findOwnClient(context, input.id)
    if (!before) return notThere('client')
    if (!before.archivedAt) return refused('already-so', `${before.name} is not archived.`)
    return setArchived(context, before, null)
  })
}

async function setArchived(
  { tx, actor, audit }: RegisterContext,
  before: { id: string; archivedAt: Date | null },
  archivedAt: Date | null,
) {
  const where = { businessId_id: { businessId: actor.businessId, id: before.id } }
  await tx.client.update({ where, data: { archivedAt } })
  const action = archivedAt ? 'archive' : 'restore'
  await audit('client', before.id, action, { archivedAt: before.archivedAt }, { archivedAt })
  return done({ clientId: before.id })
}

/** A client of this business that was not merged into another. */
function findOwnClient({ tx, actor }: RegisterContext, clientId: string) {
  return tx.client.findFirst({
    where: { businessId: actor.businessId, id: clientId, mergedIntoId: null },
    include: { clientPrivate: { select: { note: true } } },
  })
}

function columnsOf(fields: ClientFields) {
  return {
    name: fields.name,
    email: fields.email,
    phone: fields.phone,
    billingName: fields.billingName,
    billingAddress: fields.billingAddress,
    billingPostcode: fields.billingPostcode,
    billingCity: fields.billingCity,
    billingCountry: fields.billingCountry.toUpperCase(),
    taxNumber: fields.taxNumber,
    paymentTermsDays: fields.paymentTermsDays === '' ? null : Number(fields.paymentTermsDays),
    purchaseOrderNeeded: fields.purchaseOrderNeeded,
    purchaseOrder: fields.purchaseOrder,
  } satisfies Prisma.ClientUpdateInput
}

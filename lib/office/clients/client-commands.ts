import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { type CommandContext, defineCommand } from '../frame/command'
import { countryCode } from '../frame/country'
import { done, refused } from '../frame/result'
import { clientHindrances } from './hindrances'
import { notThere } from './register-command'
import { addClientSchema, type ClientFields, editClientSchema, oneRowSchema } from './schema'

/** Adds a client. The client's id is the command's. */
export const addClient = defineCommand(
  { kind: 'client.add', may: 'register.change', schema: addClientSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const client = await tx.client.create({
      data: { businessId: actor.businessId, id: commandId, ...columnsOf(input) },
    })
    await tx.clientPrivate.create({
      data: { businessId: actor.businessId, id: commandId, clientId: commandId, ...ownColumns(input) },
    })
    await audit('client', commandId, 'add', undefined, { ...client, ...ownColumns(input) })
    return done({ clientId: commandId })
  },
)

/** Changes what is written about a client. Issued invoices keep what they were issued with. */
export const editClient = defineCommand(
  { kind: 'client.edit', may: 'register.change', schema: editClientSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const before = await findOwnClient(context, input.clientId)
    if (!before) return notThere('client')
    const where = { businessId_id: { businessId: actor.businessId, id: input.clientId } }
    const after = await tx.client.update({ where, data: columnsOf(input) })
    await tx.clientPrivate.upsert({
      where: { businessId_clientId: { businessId: actor.businessId, clientId: input.clientId } },
      create: { businessId: actor.businessId, id: commandId, clientId: input.clientId, ...ownColumns(input) },
      update: ownColumns(input),
    })
    const { clientPrivate, ...columns } = before
    await audit(
      'client',
      input.clientId,
      'edit',
      { ...columns, note: clientPrivate?.note ?? '', taxCategory: clientPrivate?.taxCategory ?? null },
      { ...after, ...ownColumns(input) },
    )
    return done({ clientId: input.clientId })
  },
)

/** Puts a client away. Refused, with a list, while invoices are open, visits are booked or tanks are in care. */
export const archiveClient = defineCommand(
  { kind: 'client.archive', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const { actor } = context
    const before = await findOwnClient(context, input.id)
    if (!before) return notThere('client')
    if (before.archivedAt) return refused('already-so', `${before.name} is already archived.`)
    const hindrances = await clientHindrances(context.tx, actor.businessId, input.id)
    if (hindrances.length > 0)
      return refused('in-use', `${before.name} cannot be archived yet: ${hindrances.join('; ')}.`)
    return setArchived(context, before, context.madeAt)
  },
)

/** Takes a client out of the archive. */
export const restoreClient = defineCommand(
  { kind: 'client.restore', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const before = await findOwnClient(context, input.id)
    if (!before) return notThere('client')
    if (!before.archivedAt) return refused('already-so', `${before.name} is not archived.`)
    return setArchived(context, before, null)
  },
)

async function setArchived(
  { tx, actor, audit }: CommandContext,
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
function findOwnClient({ tx, actor }: CommandContext, clientId: string) {
  return tx.client.findFirst({
    where: { businessId: actor.businessId, id: clientId, mergedIntoId: null },
    include: { clientPrivate: { select: { note: true, taxCategory: true } } },
  })
}

/** What the client does not see. */
function ownColumns({ note, taxCategory }: ClientFields) {
  return { note, taxCategory: taxCategory === '' ? null : taxCategory }
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
    billingRegion: fields.billingRegion,
    billingCountry: countryCode(fields.billingCountry),
    taxNumber: fields.taxNumber,
    companyNumber: fields.companyNumber,
    buyerReference: fields.buyerReference,
    endpoint: fields.endpoint,
    paymentTermsDays: fields.paymentTermsDays === '' ? null : Number(fields.paymentTermsDays),
    purchaseOrderNeeded: fields.purchaseOrderNeeded,
    purchaseOrder: fields.purchaseOrder,
  } satisfies Prisma.ClientUpdateInput
}

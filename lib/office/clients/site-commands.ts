import 'server-only'
import { newId } from '@/lib/new-id'
import { todayOf } from '../frame/business-day'
import { type CommandContext, defineCommand } from '../frame/command'
import { countryCode } from '../frame/country'
import { done, invalid, refused } from '../frame/result'
import { bookedVisits, nameSome } from './hindrances'
import { notThere } from './register-command'
import { addSiteSchema, editSiteSchema, oneRowSchema, type SiteFields } from './schema'
import { writePayer } from './site-payers'

/** Adds a site with its contacts, access note and access windows. The site's id is the command's. */
export const addSite = defineCommand(
  { kind: 'site.add', may: 'register.change', schema: addSiteSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const problem = await payersProblem(context, input)
    if (problem) return problem
    await tx.site.create({ data: { businessId: actor.businessId, id: commandId, ...columnsOf(input) } })
    await tx.sitePrivate.create({
      data: { businessId: actor.businessId, id: commandId, siteId: commandId, ...privateColumnsOf(input) },
    })
    await writeContacts(context, commandId, input)
    await audit('site', commandId, 'add', undefined, await wholeSite(context, commandId))
    return done({ siteId: commandId })
  },
)

/** Changes a site; its contacts become exactly those given. A site in use keeps its client: its tanks change hands one by one. */
export const editSite = defineCommand(
  { kind: 'site.edit', may: 'register.change', schema: editSiteSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const before = await wholeSite(context, input.siteId)
    if (!before) return notThere('site')
    const problem = (await payersProblem(context, input)) ?? (await tanksProblem(context, before, input))
    if (problem) return problem
    const where = { businessId_id: { businessId: actor.businessId, id: input.siteId } }
    const after = columnsOf(input)
    await tx.site.update({ where, data: after })
    if (before.clientId !== after.clientId || before.payerClientId !== after.payerClientId)
      await writePayer(context, input.siteId, before, after, input.payerSince || (await todayOf(context)))
    await tx.sitePrivate.upsert({
      where: { businessId_siteId: { businessId: actor.businessId, siteId: input.siteId } },
      create: { businessId: actor.businessId, id: commandId, siteId: input.siteId, ...privateColumnsOf(input) },
      update: privateColumnsOf(input),
    })
    await tx.siteContact.deleteMany({ where: { businessId: actor.businessId, siteId: input.siteId } })
    await writeContacts(context, input.siteId, input)
    await audit('site', input.siteId, 'edit', before, await wholeSite(context, input.siteId))
    return done({ siteId: input.siteId })
  },
)

/** Puts a site away. Refused, with a list, while visits are booked there or tanks are in care. */
export const archiveSite = defineCommand(
  { kind: 'site.archive', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const { tx, actor, madeAt, audit } = context
    const before = await wholeSite(context, input.id)
    if (!before) return notThere('site')
    if (before.archivedAt) return refused('already-so', `${before.name} is already archived.`)
    const tanks = await tx.tank.findMany({
      where: { businessId: actor.businessId, siteId: input.id, archivedAt: null, mergedIntoId: null },
      select: { name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const visits = await bookedVisits(tx, actor.businessId, { siteId: { in: [input.id] } })
    const hindrances = [
      ...(tanks.length > 0 ? [`tanks in care: ${nameSome(tanks.map((tank) => tank.name))}`] : []),
      ...(visits.length > 0 ? [`booked visits: ${nameSome(visits)}`] : []),
    ]
    if (hindrances.length > 0)
      return refused('in-use', `${before.name} cannot be archived yet: ${hindrances.join('; ')}.`)
    const where = { businessId_id: { businessId: actor.businessId, id: input.id } }
    await tx.site.update({ where, data: { archivedAt: madeAt } })
    await audit('site', input.id, 'archive', { archivedAt: null }, { archivedAt: madeAt })
    return done({ siteId: input.id })
  },
)

/** Takes a site out of the archive; its client must not be in it. */
export const restoreSite = defineCommand(
  { kind: 'site.restore', may: 'register.change', schema: oneRowSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const before = await wholeSite(context, input.id)
    if (!before) return notThere('site')
    if (!before.archivedAt) return refused('already-so', `${before.name} is not archived.`)
    const where = { businessId_id: { businessId: actor.businessId, id: input.id } }
    const client = await tx.client.findUnique({
      where: { businessId_id: { businessId: actor.businessId, id: before.clientId } },
    })
    if (client?.archivedAt) return refused('in-use', `Take ${client.name} out of the archive first.`)
    await tx.site.update({ where, data: { archivedAt: null } })
    await audit('site', input.id, 'restore', { archivedAt: before.archivedAt }, { archivedAt: null })
    return done({ siteId: input.id })
  },
)

/** Client and payer must be of this business, in use and not merged away. */
async function payersProblem({ tx, actor }: CommandContext, { clientId, payerClientId }: SiteFields) {
  const wanted = [clientId, payerClientId].filter((id) => id !== '')
  const found = await tx.client.findMany({
    where: { businessId: actor.businessId, id: { in: wanted }, mergedIntoId: null, archivedAt: null },
    select: { id: true },
  })
  const missing = wanted.find((id) => !found.some((client) => client.id === id))
  if (missing === undefined) return null
  const words = 'This client is not in the register any more, or is archived. Choose another.'
  return invalid({ [missing === clientId ? 'clientId' : 'payerClientId']: [words] })
}

/** A site with somebody's tanks does not simply go to another client: each tank's history stays with the client of its time. */
async function tanksProblem(
  { tx, actor }: CommandContext,
  before: { id: string; clientId: string },
  { clientId }: SiteFields,
) {
  if (before.clientId === clientId) return null
  const tanks = await tx.tank.findMany({
    where: { businessId: actor.businessId, siteId: before.id, clientId: before.clientId, mergedIntoId: null },
    select: { name: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  if (tanks.length === 0) return null
  const words = `Hand the tanks over first, each on its own page: ${nameSome(tanks.map((tank) => tank.name))}.`
  return invalid({ clientId: [words] })
}

async function writeContacts({ tx, actor }: CommandContext, siteId: string, { contacts }: SiteFields) {
  await tx.siteContact.createMany({
    data: contacts.map((contact) => ({ businessId: actor.businessId, id: newId(), siteId, ...contact })),
  })
}

/** A site of this business that was not merged into another, with all that belongs to it. */
function wholeSite({ tx, actor }: CommandContext, siteId: string) {
  return tx.site.findFirst({
    where: { businessId: actor.businessId, id: siteId, mergedIntoId: null },
    include: { sitePrivate: true, siteContacts: { orderBy: { id: 'asc' } } },
  })
}

function columnsOf(fields: SiteFields) {
  return {
    clientId: fields.clientId,
    // A site that pays for itself has no other payer.
    payerClientId:
      fields.payerClientId === '' || fields.payerClientId === fields.clientId ? null : fields.payerClientId,
    name: fields.name,
    address: fields.address,
    postcode: fields.postcode,
    city: fields.city,
    region: fields.region,
    country: countryCode(fields.country),
    latitude: fields.latitude === '' ? null : Number(fields.latitude),
    longitude: fields.longitude === '' ? null : Number(fields.longitude),
  }
}

function privateColumnsOf(fields: SiteFields) {
  return {
    accessNote: fields.accessNote,
    accessWindows: fields.accessWindows,
    purchaseOrder: fields.purchaseOrder,
  }
}

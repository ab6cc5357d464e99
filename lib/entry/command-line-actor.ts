import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { asIdentity, inScope } from '@/lib/platform/db/scope'

type Business = { id: string; name: string }

/** Any uuid: nobody in particular looks up who may act. */
const NOBODY = '00000000-0000-7000-8000-000000000000'

const sameName = (a: string, b: string) => a.trim().toLowerCase() === b.trim().toLowerCase()

/**
 * The owner of a business, for a command line: whoever has the machine has the database. Without a name the only business.
 * Errors: OperatorError where there is none of that name, naming those that exist.
 */
export async function commandLineActor(businessName: string | undefined): Promise<Actor> {
  const businesses = await listBusinesses()
  if (businessName === undefined) {
    const [only, second] = businesses
    if (only && !second) return ownerOf(only)
    throw new OperatorError(`Which business? Add --business NAME. ${namesOf(businesses)}`)
  }
  const business = findByName(businesses, businessName)
  if (!business) throw new OperatorError(`There is no business called “${businessName}”. ${namesOf(businesses)}`)
  return ownerOf(business)
}

/** The same, or null where there is no business of that name. */
export async function findBusinessActor(businessName: string): Promise<Actor | null> {
  const business = findByName(await listBusinesses(), businessName)
  return business ? ownerOf(business) : null
}

/** Makes a business with one person, “Records”, who has no sign-in: invite an owner from `npm run reset-owner` or the screens. */
export async function makeBusinessForCommandLine(businessName: string): Promise<Actor> {
  const businessId = newId()
  const personId = newId()
  const name = businessName.trim()
  if (name === '') throw new OperatorError('The new business needs a name: --business NAME.')
  await inScope({ role: 'office', businessId, personId }, async (tx) => {
    await tx.business.create({ data: { id: businessId, name, legalName: name } })
    await tx.person.create({ data: { businessId, id: personId, name: 'Records' } })
    const now = new Date()
    await tx.command.create({
      data: {
        businessId,
        id: newId(),
        deviceId: 'command line',
        deviceSeq: 0,
        madeAt: now,
        kind: 'business.create',
        payload: {},
        status: 'applied',
        personId,
      },
    })
  })
  return ownerOf({ id: businessId, name })
}

/** Every business by name. */
function listBusinesses(): Promise<Business[]> {
  return asIdentity((tx) =>
    tx.business.findMany({ select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
  )
}

function namesOf(businesses: readonly Business[]): string {
  if (businesses.length === 0) return 'There is no business here yet.'
  return `Here ${businesses.length === 1 ? 'is' : 'are'}: ${businesses.map(({ name }) => `“${name}”`).join(', ')}.`
}

function findByName(businesses: readonly Business[], name: string): Business | null {
  const exact = businesses.filter((business) => business.name === name)
  const [found, second] = exact.length > 0 ? exact : businesses.filter((business) => sameName(business.name, name))
  if (second) throw new OperatorError(`More than one business is called “${name}”: rename one of them first.`)
  return found ?? null
}

async function ownerOf({ id: businessId }: Business): Promise<Actor> {
  return inScope({ role: 'office', businessId, personId: NOBODY }, async (tx) => {
    const membership = await tx.membership.findFirst({
      where: { businessId, roles: { has: 'owner' }, revokedAt: null },
      select: { id: true, person: { select: { id: true, name: true } } },
      orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    })
    const person =
      membership?.person ??
      (await tx.person.findFirst({
        where: { businessId },
        select: { id: true, name: true },
        orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
      }))
    if (!person) throw new OperatorError('This business has nobody in it.')
    return {
      businessId,
      personId: person.id,
      membershipId: membership?.id ?? NOBODY,
      roles: ['owner'],
      name: person.name,
    }
  })
}

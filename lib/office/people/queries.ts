import 'server-only'
import { type AccessRow, accessOf } from '@/lib/platform/db/identity-calls'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { ROLES, type Role } from '../frame/role-actions'

/** How somebody gets in: not at all, by a link that is still out, by one that has run out, or with their sign-in. */
export type Access = {
  membershipId: string
  state: 'invited' | 'link-ran-out' | 'signs-in'
  roles: Role[]
  client: { id: string; name: string } | null
  email: string
  expiresAt: string | null
}

export type PersonRow = {
  id: string
  name: string
  email: string
  phone: string
  isTechnician: boolean
  archived: boolean
  access: Access | null
}

export const PEOPLE_PER_PAGE = 50

/** The people of a business by name, one page of them; those put away only where asked for. */
export function listPeople(
  actor: Actor,
  filter: { search: string; archived: boolean; page: number },
): Promise<{ people: PersonRow[]; total: number }> {
  const where = {
    businessId: actor.businessId,
    mergedIntoId: null,
    archivedAt: filter.archived ? { not: null } : null,
    ...(filter.search ? { name: { contains: filter.search, mode: 'insensitive' as const } } : {}),
  }
  return inBusiness(actor, async (tx) => {
    const total = await tx.person.count({ where })
    const rows = await tx.person.findMany({
      where,
      select: PERSON_COLUMNS,
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
      skip: (filter.page - 1) * PEOPLE_PER_PAGE,
      take: PEOPLE_PER_PAGE,
    })
    return { people: await withAccess(tx, rows), total }
  })
}

export type PersonDetail = PersonRow & {
  note: string
  dayStart: string
  dayEnd: string
  isYou: boolean
  clients: { id: string; name: string }[]
}

/** One person with what the owner may change, and the clients they could belong to; null when not of this business. */
export function findPerson(actor: Actor, personId: string): Promise<PersonDetail | null> {
  return inBusiness(actor, async (tx) => {
    const row = await tx.person.findFirst({
      where: { businessId: actor.businessId, id: personId, mergedIntoId: null },
      select: { ...PERSON_COLUMNS, dayStart: true, dayEnd: true },
    })
    if (!row) return null
    const clients = await tx.client.findMany({
      where: { businessId: actor.businessId, archivedAt: null, mergedIntoId: null },
      select: { id: true, name: true },
      orderBy: [{ name: 'asc' }, { id: 'asc' }],
    })
    const [person] = await withAccess(tx, [row])
    if (!person) return null
    const { dayStart, dayEnd, personPrivate } = row
    return { ...person, note: personPrivate?.note ?? '', dayStart, dayEnd, isYou: personId === actor.personId, clients }
  })
}

const PERSON_COLUMNS = {
  id: true,
  name: true,
  isTechnician: true,
  archivedAt: true,
  personPrivate: { select: { email: true, phone: true, note: true } },
  memberships: {
    where: { revokedAt: null },
    select: { id: true, loginId: true, roles: true, client: { select: { id: true, name: true } } },
    orderBy: [{ createdAt: 'desc' as const }, { id: 'desc' as const }],
    take: 1,
  },
}

type MembershipColumns = {
  id: string
  loginId: string | null
  roles: string[]
  client: { id: string; name: string } | null
}
type PersonColumns = {
  id: string
  name: string
  isTechnician: boolean
  archivedAt: Date | null
  personPrivate: { email: string; phone: string } | null
  memberships: MembershipColumns[]
}

/** Puts beside these people how they get in. */
async function withAccess(tx: Transaction, rows: PersonColumns[]): Promise<PersonRow[]> {
  const ids = rows.flatMap(({ memberships }) => memberships.map(({ id }) => id))
  const found = ids.length > 0 ? await accessOf(tx, ids) : []
  const accessById = new Map(found.map((access) => [access.membershipId, access]))
  return rows.map(({ archivedAt, personPrivate, memberships: [membership], ...row }) => ({
    id: row.id,
    name: row.name,
    isTechnician: row.isTechnician,
    email: personPrivate?.email ?? '',
    phone: personPrivate?.phone ?? '',
    archived: archivedAt !== null,
    access: membership ? toAccess(membership, accessById.get(membership.id), new Date()) : null,
  }))
}

function toAccess({ id, loginId, roles, client }: MembershipColumns, row: AccessRow | undefined, now: Date): Access {
  const common = { membershipId: id, roles: ROLES.filter((role) => roles.includes(role)), client }
  if (loginId) return { ...common, state: 'signs-in', email: row?.email ?? '', expiresAt: null }
  const until = row?.invitedUntil ?? null
  const state = until && until > now ? 'invited' : 'link-ran-out'
  return { ...common, state, email: row?.invitedEmail ?? '', expiresAt: until?.toISOString() ?? null }
}

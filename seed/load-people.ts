import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import type { Role } from '@/lib/office/frame/role-actions'
import { invitePerson } from '@/lib/office/people/access-commands'
import { actorOf } from '@/lib/office/people/actor-of'
import { makeFirstBusiness } from '@/lib/office/people/first-run'
import { addPerson, editPerson } from '@/lib/office/people/person-commands'
import { inviteSchema } from '@/lib/office/people/schema'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { acceptInvitation } from '@/lib/office/people/use-links'
import { inScope } from '@/lib/platform/db/scope'
import { demoId } from './demo-ids'
import { applied } from './expect'
import {
  ACCOUNTANT,
  BUSINESS_NAME,
  CLIENT_PEOPLE,
  DEMO_PASSWORD,
  type DemoPerson,
  OWNER,
  TECHNICIANS,
  TIME_ZONE,
} from './names'
import type { Register } from './plan-register'

const ADDRESS = 'demo'
const DAY = { dayStart: '08:00', dayEnd: '17:30' }

/** Makes the business and its owner by the first run, or signs in where that was done before. */
export async function beginBusiness(): Promise<Actor> {
  const known = await signIn(OWNER)
  if (known) return known
  const { name, email } = OWNER
  const first = {
    businessName: BUSINESS_NAME,
    name,
    email,
    password: DEMO_PASSWORD,
    country: 'GB',
    timeZone: TIME_ZONE,
    currency: 'GBP',
  }
  const claims = applied('make its business', await makeFirstBusiness(first))
  const owner = await actorOf(claims)
  if (!owner) throw new Error('the owner of the demo cannot sign in')
  const { businessId, personId } = owner
  // What tells it apart from real work; no screen can set it.
  await inScope({ role: 'office', businessId, personId }, (tx) =>
    tx.business.update({ where: { id: businessId }, data: { isDemo: true } }),
  )
  return owner
}

/** The owner leaves the driving to the three technicians. */
export async function addTeam(owner: Actor, nowMs: number): Promise<{ technicians: Actor[]; accountant: Actor }> {
  const { businessId, personId } = owner
  const { name, email, phone } = OWNER
  const ownWords = { businessId, personId, name, email, phone, note: '', isTechnician: false, ...DAY }
  applied(
    'say what the owner does',
    await editPerson(owner, { commandId: demoId(nowMs, 'owner stays in'), ...ownWords }),
  )
  const technicians: Actor[] = []
  for (const person of TECHNICIANS) technicians.push(await addSigningPerson(owner, nowMs, person, ['technician'], null))
  const accountant = await addSigningPerson(owner, nowMs, ACCOUNTANT, ['accountant'], null)
  return { technicians, accountant }
}

/** The people of the first two clients, who read the record of their tanks. */
export async function addClientPeople(owner: Actor, nowMs: number, { clients }: Register): Promise<Actor[]> {
  const people: Actor[] = []
  for (const [place, person] of CLIENT_PEOPLE.entries())
    people.push(await addSigningPerson(owner, nowMs, person, ['client'], clients[place]?.id ?? null))
  return people
}

async function addSigningPerson(
  owner: Actor,
  nowMs: number,
  person: DemoPerson,
  roles: Role[],
  clientId: string | null,
): Promise<Actor> {
  const known = await signIn(person)
  if (known) return known
  const { businessId } = owner
  const { key, name, email, phone } = person
  const isTechnician = roles.includes('technician')
  const said = { businessId, name, email, phone, note: '', isTechnician, ...DAY }
  const commandId = demoId(nowMs, `person ${key}`)
  const { personId } = applied(`add ${name}`, await addPerson(owner, { commandId, ...said }))
  const boxes = Object.fromEntries(roles.map((role) => [role, 'on']))
  const side = clientId === null ? { side: 'office', ...boxes } : { side: 'client', clientId }
  const invitation = inviteSchema.parse({ commandId: newId(), businessId, personId, email, ...side })
  const { path } = applied(`invite ${name}`, await invitePerson(owner, invitation))
  const token = path?.split('/').at(-1) ?? ''
  const claims = applied(
    `sign ${name} in`,
    await acceptInvitation({ token, password: DEMO_PASSWORD, address: ADDRESS }),
  )
  const actor = await actorOf(claims)
  if (!actor) throw new Error(`${name} cannot sign in to the demo`)
  return actor
}

async function signIn({ email }: DemoPerson): Promise<Actor | null> {
  const claims = await lookUpLogin({ email, password: DEMO_PASSWORD, address: ADDRESS })
  return claims && actorOf(claims)
}

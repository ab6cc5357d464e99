import { type Action, mayDo, type Role } from '../frame/role-actions'

/** A way on in the bar: an address, its word, and the action without which the page is not this person's. */
type Place = { href: string; label: string; action: Action }

const TODAY: Place = { href: '/today', label: 'Today', action: 'today.read' }
const DESK: readonly Place[] = [
  { href: '/plan', label: 'Plan', action: 'plan.read' },
  { href: '/tanks', label: 'Tanks', action: 'register.read' },
  { href: '/work-due', label: 'Work due', action: 'due.read' },
  { href: '/repeat-faults', label: 'Repeat faults', action: 'faults.read' },
  { href: '/parts', label: 'Parts', action: 'parts.read' },
  { href: '/money', label: 'Money', action: 'money.read' },
  { href: '/people', label: 'People', action: 'people.read' },
  { href: '/settings', label: 'Settings', action: 'settings.change' },
]
const ROUTE: Place = { href: '/route', label: 'Today’s route', action: 'route.read' }
const CALLS: Place = { href: '/calls', label: 'Somebody rings', action: 'register.read' }
const BOOKS: Place = { href: '/books', label: 'Books', action: 'books.export' }
const OUR_TANKS: Place = { href: '/our-tanks', label: 'Our tanks', action: 'record.read' }
const ACCOUNT: Place = { href: '/account', label: 'My account', action: 'account.change' }

/**
 * The bar of somebody with these roles. The owner sees the desk, with the route in it: in a small business the owner goes out too.
 * Everybody else sees their own first screen before the rest.
 */
export function navigationOf(roles: readonly Role[]): { href: string; label: string }[] {
  const places = roles.includes('owner')
    ? [TODAY, ROUTE, CALLS, ...DESK]
    : [ROUTE, CALLS, BOOKS, OUR_TANKS, TODAY, ...DESK]
  return open(places, roles)
}

/** The few ways on at the foot of the phone of whoever is on the round; an owner finds the account from the desk. */
export function fieldNavigationOf(roles: readonly Role[]): { href: string; label: string }[] {
  const tanks = DESK.filter(({ href }) => href === '/tanks' || href === '/work-due')
  return open(roles.includes('owner') ? [ROUTE, TODAY, ...tanks] : [ROUTE, ...tanks, ACCOUNT], roles)
}

function open(places: readonly Place[], roles: readonly Role[]): { href: string; label: string }[] {
  return places.filter(({ action }) => mayDo(roles, action)).map(({ href, label }) => ({ href, label }))
}

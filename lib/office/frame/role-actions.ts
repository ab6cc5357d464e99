export const ROLES = ['owner', 'technician', 'client', 'accountant'] as const
export type Role = (typeof ROLES)[number]

const OWNER = ['owner'] as const
const ROUND = ['owner', 'technician'] as const
const BOOKS = ['owner', 'accountant'] as const
const CLIENT = ['client'] as const
const OFFICE = ['owner', 'technician', 'accountant'] as const

/**
 * Who may do what: written once, used by the code and by the tests. Business and client are kept apart by the database;
 * this table keeps the four people apart. The owner can do what technician and accountant can.
 */
export const ROLE_ACTIONS = {
  'today.read': OWNER,
  'plan.read': OWNER,
  'plan.change': OWNER,
  'register.read': ROUND,
  'register.change': OWNER,
  'records.import': OWNER,
  'due.read': ROUND,
  'due.change': OWNER,
  'faults.read': ROUND,
  'faults.change': ROUND,
  'parts.read': ROUND,
  'parts.change': ROUND,
  'route.read': ROUND,
  'visit.read': ROUND,
  'visit.log': ROUND,
  'photo.add': ROUND,
  'photo.read': [...ROUND, ...CLIENT],
  'money.read': BOOKS,
  'money.change': OWNER,
  'payment.record': BOOKS,
  'books.export': BOOKS,
  'people.read': OWNER,
  'people.change': OWNER,
  'settings.change': OWNER,
  'record.read': CLIENT,
  'record.ask': CLIENT,
  'invoice.read': [...BOOKS, ...CLIENT],
  'account.change': [...OFFICE, ...CLIENT],
} as const satisfies Record<string, readonly Role[]>

export type Action = keyof typeof ROLE_ACTIONS

/** Whether one of these roles may do this. */
export function mayDo(roles: readonly Role[], action: Action): boolean {
  const allowed: readonly Role[] = ROLE_ACTIONS[action]
  return roles.some((role) => allowed.includes(role))
}

/** Where each role lands after signing in; the first of the person's roles in this order. */
export function firstScreenOf(roles: readonly Role[]): '/today' | '/route' | '/our-tanks' | '/books' {
  if (roles.includes('owner')) return '/today'
  if (roles.includes('technician')) return '/route'
  if (roles.includes('accountant')) return '/books'
  return '/our-tanks'
}

/** Names and addresses stay out of the logs, which nobody can change: forgetting a person must be one act. Pure. */
const PERSONAL: ReadonlySet<string> = new Set([
  'name',
  'email',
  'phone',
  'billingName',
  'billingAddress',
  'billingPostcode',
  'billingCity',
  'billingRegion',
  'taxNumber',
  'address',
  'postcode',
  'city',
  'region',
  'companyNumber',
  'buyerReference',
  'endpoint',
  'latitude',
  'longitude',
  'accessNote',
  'note',
])

/** Kinds of command and entities of the audit whose fields are about people. */
const ABOUT_PEOPLE = /^(client|site|people|person)(\.|$)/

/** A value as a log may keep it: of what is about people only that names and addresses were given. */
export function withoutPeople(kindOrEntity: string, value: unknown): unknown {
  return ABOUT_PEOPLE.test(kindOrEntity) ? withheld(value) : value
}

function withheld(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withheld)
  if (typeof value !== 'object' || value === null || value instanceof Date) return value
  return Object.fromEntries(
    Object.entries(value).map(([key, held]) => [
      key,
      PERSONAL.has(key) ? (held === '' || held === null ? '' : 'given') : withheld(held),
    ]),
  )
}

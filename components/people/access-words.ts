const ROLE_WORDS: Readonly<Record<string, string>> = {
  owner: 'Owner',
  technician: 'Technician',
  client: 'Client',
  accountant: 'Accountant',
}

/** A set of roles as one says it. */
export function roleWords(roles: readonly string[], clientName?: string): string {
  const words = roles.map((role) => ROLE_WORDS[role] ?? role).join(', ')
  return clientName ? `${words}: ${clientName}` : words
}

/** How somebody gets in, in a few words. */
export function stateWords(state: 'invited' | 'link-ran-out' | 'signs-in' | undefined): string {
  if (state === 'signs-in') return 'Signs in'
  if (state === 'invited') return 'Invited, link is out'
  if (state === 'link-ran-out') return 'Invited, link has run out'
  return 'No sign-in'
}

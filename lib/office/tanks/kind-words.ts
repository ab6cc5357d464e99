import { waterProfiles } from '@/lib/trade/targets'

const NAMES = new Map<string, string>(waterProfiles.map(({ kind, name }) => [kind, name]))

/** What a kind of tank is called on the screens; an unknown one as it is written. Pure. */
export function kindWords(profile: string): string {
  return NAMES.get(profile) ?? profile
}

/** The kinds of tank to choose from. */
export const KIND_CHOICES: readonly { value: string; label: string }[] = waterProfiles.map(({ kind, name }) => ({
  value: kind,
  label: name,
}))

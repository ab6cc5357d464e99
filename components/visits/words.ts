/** The words of a visit's record as a person says them. */
export const AS_FOUND_WORDS = { ok: 'fine', needs_it: 'needs it', failed: 'failed', not_looked: 'not looked' } as const
export const DEPTH_WORDS = { running: 'seen running', opened: 'opened', measured: 'measured' } as const
export const CURE_WORDS = { sure: 'sure', likely: 'likely', not_sure: 'not sure' } as const
export const REASON_WORDS = {
  schedule: 'scheduled',
  while_out: 'while it was out',
  condition: 'worn, still OK',
  found: 'found it needed doing',
} as const
export const OUTCOME_WORDS = { done: 'done', cut_short: 'cut short', no_access: 'no access' } as const

/** The options of a choice from its words, in their order. */
export function optionsOf(words: Readonly<Record<string, string>>): { value: string; label: string }[] {
  return Object.entries(words).map(([value, label]) => ({
    value,
    label: label.charAt(0).toUpperCase() + label.slice(1),
  }))
}

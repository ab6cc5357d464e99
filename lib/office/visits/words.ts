/** The fixed words of a visit's record, in the order in which they are offered. Pure. */
export const AS_FOUND = ['ok', 'needs_it', 'failed', 'not_looked'] as const
export type AsFoundWord = (typeof AS_FOUND)[number]

export const DEPTHS = ['running', 'opened', 'measured'] as const
export type DepthWord = (typeof DEPTHS)[number]

export const CURE_CONFIDENCES = ['sure', 'likely', 'not_sure'] as const
export type CureWord = (typeof CURE_CONFIDENCES)[number]

export const RENEWAL_REASONS = ['schedule', 'while_out', 'condition', 'found'] as const
export type ReasonWord = (typeof RENEWAL_REASONS)[number]

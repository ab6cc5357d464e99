export type CautionSlug = string

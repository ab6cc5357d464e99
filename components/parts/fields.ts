export type Choice = { value: string; label: string }

/**
 * The shapes of the catalogue: what kinds of equipment there are, what goes wrong with them and what renews them.
 * Slugs are immutable: records refer to them for ever. A business changes names and intervals in its own overlay.
 */
import type { CautionSlug } from '@/lib/trade/cautions'

/** How closely a technician must look before "ok" means anything; each depth includes the ones before it. */
export const DEPTHS = ['running', 'opened', 'measured'] as const
export type Depth = (typeof DEPTHS)[number]

/** Where a figure comes from: M = from memory, CP = common practice; neither has a source and both yield to records. */
export type Mark = 'M' | 'CP'

export const TANK_KINDS = [
  'reef',
  'fish-only-marine',
  'freshwater-community',
  'planted',
  'cold-water',
  'rift-lake',
  'warm-soft-water',
  'brackish',
] as const
export type TankKind = (typeof TANK_KINDS)[number]

export type EquipmentClass = {
  slug: string
  name: string
  /** What a client would call it. */
  plainName: string
  /** Kinds of tank that normally have one. */
  tankKinds: readonly TankKind[]
}

export type FailureMode = {
  /** `class-slug/mode-name` */
  slug: string
  equipmentClass: string
  name: string
  /** The usual sign. */
  sign: string
  lookNeeded: Depth
  /** Somebody on site notices at once and says so, without a look by us. */
  announcesItself: boolean
  /** An ok given while "all else seen running" is a valid look. */
  shownByRunning: boolean
  /** Starting median time from a renewal to a need, weeks. */
  medianWeeks: number
  /** Starting Weibull shape: 1 chance, 2 builds up, 3 wears out at an age. */
  shape: number
  mark: Mark
  /** Replace at this age whatever its condition, weeks; only safety-critical devices have one. */
  ageLimitWeeks?: number
  lookUnit: 'days' | 'hours'
  safetyCritical: boolean
  /** Nothing but a new device renews it. */
  renewedOnlyByReplacing: boolean
}

export type CareTask = {
  /** `class-slug/task-name` */
  slug: string
  equipmentClass: string
  name: string
  /** Mode slugs that start anew when the task is done in full. */
  renews: readonly string[]
  /** Hands-on minutes, travel and waiting left out. */
  minutes: number
  /** The device is opened or taken out. */
  opens: boolean
  /** The device itself is exchanged. */
  replacesDevice: boolean
  /** Who normally does it. */
  doer: 'technician' | 'site staff'
  cautions: readonly CautionSlug[]
}

/** One class with everything that belongs to it, as written down in a family file. */
export type CatalogueEntry = { equipmentClass: EquipmentClass; modes: FailureMode[]; tasks: CareTask[] }

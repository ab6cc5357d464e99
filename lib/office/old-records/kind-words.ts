/** Words for kinds of visit, kinds of tank, and yes or no. Pure. */
import type { TankKind } from '@/lib/trade/catalogue/types'
import { plainWords } from '../frame/plain-words'

export const VISIT_KINDS = ['routine', 'call-out', 'installation', 'return check'] as const
export type VisitKind = (typeof VISIT_KINDS)[number]

const VISIT_WORDS: Readonly<Record<string, VisitKind>> = {
  '': 'routine', // a record that names no kind is of the common kind
  routine: 'routine',
  regular: 'routine',
  service: 'routine',
  maintenance: 'routine',
  scheduled: 'routine',
  'call out': 'call-out',
  callout: 'call-out',
  emergency: 'call-out',
  fault: 'call-out',
  repair: 'call-out',
  installation: 'installation',
  install: 'installation',
  'set up': 'installation',
  setup: 'installation',
  'return check': 'return check',
  return: 'return check',
  'follow up': 'return check',
  recheck: 'return check',
}

/** Returns null where the word is not known. */
export function visitKindOf(text: string): VisitKind | null {
  const words = plainWords(text)
  return Object.hasOwn(VISIT_WORDS, words) ? (VISIT_WORDS[words] ?? null) : null
}

const TANK_WORDS: Readonly<Record<string, TankKind>> = {
  reef: 'reef',
  'mixed reef': 'reef',
  'reef tank': 'reef',
  'fish only': 'fish-only-marine',
  'marine fish only': 'fish-only-marine',
  'fish only marine': 'fish-only-marine',
  fowlr: 'fish-only-marine',
  fresh: 'freshwater-community',
  freshwater: 'freshwater-community',
  'fresh water': 'freshwater-community',
  community: 'freshwater-community',
  'fresh community': 'freshwater-community',
  planted: 'planted',
  'planted freshwater': 'planted',
  'cold water': 'cold-water',
  coldwater: 'cold-water',
  goldfish: 'cold-water',
  'rift lake': 'rift-lake',
  malawi: 'rift-lake',
  tanganyika: 'rift-lake',
  tropical: 'freshwater-community',
  'warm soft water': 'warm-soft-water',
  brackish: 'brackish',
}

/** The kind of tank, or null where the words do not say: they are kept either way. */
export function tankKindOf(text: string): TankKind | null {
  const words = plainWords(text)
  return Object.hasOwn(TANK_WORDS, words) ? (TANK_WORDS[words] ?? null) : null
}

const YES = new Set(['yes', 'y', 'true', '1', 'x', 'ja', 'oui', 'si'])
const NO = new Set(['', 'no', 'n', 'false', '0', 'nein', 'nee', 'non', 'none'])

/** Blank is no. Returns null where the word is neither. */
export function yesOrNo(text: string): boolean | null {
  if (/^\s*[✓✔]\s*$/.test(text)) return true
  const words = plainWords(text)
  return YES.has(words) ? true : NO.has(words) ? false : null
}

import 'server-only'
import { findClass, inTradeWords, tradeDialectOf } from '@/lib/trade'
import { type PlainVisit, plainVisit } from './plain-words'

export type RecordVisit = {
  visitId: string
  date: string
  minutes: number | null
  plain: PlainVisit
  photos: { id: string; caption: string; width: number; height: number }[]
}
/** Columns of a visit that a client may read. */
export const VISIT_SELECT = {
  id: true,
  localDate: true,
  minutes: true,
  outcome: true,
  noteForClient: true,
  technician: { select: { name: true } },
  business: { select: { country: true } },
  findings: {
    where: { correctedBy: null },
    select: { equipmentClass: true, asFound: true, remedy: true, asLeft: true, cureConfidence: true },
    orderBy: { id: 'asc' },
  },
  waterChanges: {
    where: { isTakenBack: false, correctedBy: { is: null } },
    select: { volumeL: true, tankVolumeL: true },
    orderBy: { id: 'asc' },
  },
  photos: {
    where: { hiddenAt: null, forClient: true },
    select: { id: true, caption: true, widthPx: true, heightPx: true },
    orderBy: { id: 'asc' },
  },
} as const

const ISO_DAY = 10

type StoredVisit = {
  id: string
  localDate: Date
  minutes: number | null
  outcome: string | null
  noteForClient: string
  technician: { name: string } | null
  business: { country: string }
  findings: { equipmentClass: string; asFound: string; remedy: string; asLeft: string; cureConfidence: string | null }[]
  waterChanges: { volumeL: { toNumber: () => number }; tankVolumeL: { toNumber: () => number } }[]
  photos: { id: string; caption: string; widthPx: number; heightPx: number }[]
}

/** What a client would call a device of this class: by the trade words of the country, or in the business's own. */
function thingOf(equipmentClass: string, country: string): string {
  const plain = findClass(equipmentClass)?.plainName
  const words = plain === undefined ? equipmentClass.replace(/^own:/, '') : inTradeWords(plain, tradeDialectOf(country))
  return words.toLowerCase()
}

/** A visit as its client reads it. */
export function recordVisit(visit: StoredVisit): RecordVisit {
  return {
    visitId: visit.id,
    date: visit.localDate.toISOString().slice(0, ISO_DAY),
    minutes: visit.minutes,
    plain: plainVisit({
      technician: visit.technician?.name ?? null,
      outcome: visit.outcome as 'done' | 'cut_short' | 'no_access' | null,
      minutes: visit.minutes,
      noteForClient: visit.noteForClient,
      waterChangedPercent: visit.waterChanges.reduce(
        (sum, { volumeL, tankVolumeL }) => sum + (100 * volumeL.toNumber()) / tankVolumeL.toNumber(),
        0,
      ),
      findings: visit.findings.map((finding) => ({
        thing: `the ${thingOf(finding.equipmentClass, visit.business.country)}`,
        asFound: finding.asFound as 'ok' | 'needs_it' | 'failed' | 'not_looked',
        remedy: finding.remedy,
        asLeft: finding.asLeft,
        cureConfidence: finding.cureConfidence as 'sure' | 'likely' | 'not_sure' | null,
      })),
    }),
    photos: visit.photos.map(({ id, caption, widthPx, heightPx }) => ({
      id,
      caption,
      width: widthPx,
      height: heightPx,
    })),
  }
}

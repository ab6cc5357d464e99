/**
 * From what was found on visits to lives that statistics can use: ten rules, written down where they are applied.
 * Pure; days are whole site-local days.
 */
import { isForNeed, orderedEvents, readLook } from './events-of-a-day'
import type { InstalledEvent, Lane, LaneLives, LaneState, Life, LookEvent, RenewalEvent, ReportEvent } from './types'

/** A stretch of time in which one life is being watched. */
type Spell = {
  originDay: number
  ageKnown: boolean
  /** For a device that was in use before our first look: that age must still be filled in, then holds. */
  awaitsTruncation: boolean
  truncatedAt?: number
  /** Days of valid ok looks since the origin, rising. */
  okDays: number[]
  from: number[]
}

/**
 * Reads all lives of a lane up to the cut-off day.
 *
 * Units: days. Events after `cutoffDay` are left out. A life that tells nothing (no look since its renewal, rule 5) is no
 * observation. Lives of unknown age carry `unknownAge`; leave them out of a plain fit with `livesForPlainFit`.
 *
 * @throws RangeError when a day is not a whole number.
 * @example
 * livesOfLane({ mode, events: [renewal on day 0, ok on day 14, needs_it on day 28] }, { cutoffDay: 100 })
 * // one life with observation { lower: 14, upper: 28 }, event: true; state 'found'
 */
export function livesOfLane(lane: Lane, { cutoffDay }: { cutoffDay: number }): LaneLives {
  if (!Number.isInteger(cutoffDay)) throw new RangeError(`the cut-off must be a whole day, got ${cutoffDay}`)
  for (const event of lane.events)
    if (!Number.isInteger(event.day)) throw new RangeError(`an event must lie on a whole day, got ${event.day}`)
  const reader = new LaneReader(lane)
  for (const { event, index } of orderedEvents(lane.events, cutoffDay)) {
    if (event.kind === 'look') reader.look(event, index)
    else if (event.kind === 'report') reader.report(event, index)
    else if (event.kind === 'renewal') reader.renewal(event, index)
    else if (event.kind === 'installed') reader.installed(event, index)
    else if (event.kind === 'removed') reader.removed(event.day, event.becauseOfMode ?? false, index)
    else reader.paused(event.day, index)
  }
  return reader.finish(cutoffDay)
}

/** Lives that a plain fit may use: those whose age is known (rule 10). */
export function livesForPlainFit(lives: readonly Life[]): Life[] {
  return lives.filter((life) => life.unknownAge === undefined)
}

class LaneReader {
  private readonly lives: Life[] = []
  private state: LaneState = 'never_seen'
  private spell: Spell | null = null
  /** The life began with a cure that nobody was sure of and no ok has confirmed yet (rule 7). */
  private provisional = false
  private foundDay: number | null = null
  /** Whoever found the open need was not sure of the cure. */
  private cureUnsure = false
  /** The device was taken out: what stands there next is another one. */
  private swappedOut = false

  constructor(private readonly lane: Lane) {}

  look(look: LookEvent, index: number) {
    const seen = readLook(look, this.lane.mode)
    if (seen === 'nothing') return
    if (seen === 'found') {
      this.found(look.day, index, null)
      this.cureUnsure = look.cureConfidence === 'not_sure'
      return
    }
    if (this.state === 'found' || this.state === 'paused') return // rules 6 and 9: nothing counts until a renewal
    this.provisional = false // rule 7: the first ok confirms the cure
    const spell = this.spell ?? this.startSpell(look.day, false, index) // rule 10: first sight, age unknown
    if (spell.awaitsTruncation) {
      spell.truncatedAt = look.day - spell.originDay
      spell.awaitsTruncation = false
    }
    spell.okDays.push(look.day)
    if (!spell.from.includes(index)) spell.from.push(index)
  }

  report(report: ReportEvent, index: number) {
    const sureDay = report.sure ? (report.reportedDay ?? report.day) : null
    this.found(report.day, index, sureDay !== null && sureDay <= report.day ? sureDay : null)
    this.cureUnsure = false
  }

  renewal(renewal: RenewalEvent, index: number) {
    if (renewal.partial) return // rule 8: a partial task renews nothing
    // Rule 5: a second renewal on the day of the first is the same one.
    if (this.spell?.ageKnown && !this.spell.awaitsTruncation && this.spell.originDay === renewal.day) return
    const unsure = renewal.cureConfidence ? renewal.cureConfidence === 'not_sure' : this.cureUnsure
    const forNeed = this.state === 'found' || isForNeed(renewal.reason)
    // Rule 2: renewed for its condition counts as found, also where the look said "ok, but getting there".
    if (isForNeed(renewal.reason)) this.found(renewal.day, index, null)
    else this.closeUnfailed(renewal.day, index)
    this.startSpell(renewal.day, true, index)
    this.provisional = forNeed && unsure
    this.cureUnsure = false
  }

  installed(event: InstalledEvent, index: number) {
    if (event.byUs) {
      // An installation visit renews every mode.
      this.renewal({ kind: 'renewal', day: event.day, reason: 'schedule' }, index)
      this.provisional = false
    } else if (event.confirmed) {
      this.closeUnfailed(event.day, index)
      this.forget()
      if (this.lane.mode.renewedOnlyByReplacing) this.startSpell(event.day, true, index).awaitsTruncation = true
    } else if (this.swappedOut) {
      // Rule 10: an unconfirmed date starts nothing; after a swap it still says that an unknown device is there now.
      this.forget()
    }
  }

  removed(day: number, becauseOfMode: boolean, index: number) {
    // Rule 9: the mode for which the device was swapped ends in a need, the others are only lost from sight.
    if (becauseOfMode) this.found(day, index, null)
    else this.closeUnfailed(day, index)
    this.stop()
    this.swappedOut = true
  }

  paused(day: number, index: number) {
    this.closeUnfailed(day, index) // rule 9
    this.stop()
  }

  finish(cutoffDay: number): LaneLives {
    const originDay = this.state === 'running' ? (this.spell?.originDay ?? null) : null
    const lastOkDay = this.spell?.okDays.at(-1) ?? null
    const isSilent = this.lane.mode.announcesItself && this.spell !== null && !this.spell.awaitsTruncation
    const fineUntilDay = isSilent ? cutoffDay : lastOkDay // rule 4
    const watchedFromAge = this.spell?.truncatedAt ?? null
    this.closeUnfailed(cutoffDay, null) // rule 4: still running
    const { lives, state, provisional } = this
    const needOpenSince = state === 'found' ? this.foundDay : null
    const firstSeenDay = state === 'age_unknown' ? (this.spell?.originDay ?? null) : null
    return {
      ...{ lives, state, runningSince: originDay, originDay, lastOkDay, fineUntilDay, watchedFromAge },
      ...{ needOpenSince, firstSeenDay, provisional },
    }
  }

  private startSpell(originDay: number, ageKnown: boolean, index: number): Spell {
    this.spell = { originDay, ageKnown, awaitsTruncation: false, okDays: [], from: [index] }
    this.state = ageKnown ? 'running' : 'age_unknown'
    this.swappedOut = false
    return this.spell
  }

  private stop() {
    this.forget()
    this.state = 'paused'
  }

  private forget() {
    this.spell = null
    this.state = 'never_seen'
    this.provisional = false
    this.swappedOut = false
  }

  /** A need came to light, by a look, a report or a renewal for its condition. */
  private found(day: number, index: number, sureDay: number | null) {
    if (this.state === 'found' || this.state === 'paused') return // rules 6 and 9: counted already, or not watched
    // Rule 7: found again before the cure was confirmed is the same episode, counted already.
    if (!this.provisional) this.closeFound(day, index, sureDay)
    this.state = 'found'
    this.foundDay = day
    this.provisional = false
    this.spell = null
  }

  /** Rule 1: interval-censored since the last ok before that day, or exact where the day of the failure is sure. */
  private closeFound(day: number, index: number, sureDay: number | null) {
    const spell = this.spell
    // Rule 10: found at our very first look tells nothing, the age being unknown or cut off at that look.
    if (!spell || spell.awaitsTruncation) return
    const lastOk = spell.okDays.findLast((okDay) => okDay < day)
    const watchedFrom = spell.truncatedAt ?? 0
    const lower = lastOk === undefined ? watchedFrom : lastOk - spell.originDay
    const exactAge = sureDay === null ? 0 : sureDay - spell.originDay
    if (exactAge > watchedFrom && exactAge >= lower) this.keep(spell, exactAge, exactAge, day, true, index)
    // A need on the day of the renewal has taken part of a day: (0, 1].
    else this.keep(spell, lower, Math.max(day - spell.originDay, lower + 1), day, true, index)
  }

  /** Rules 2, 4 and 9: right-censored at the last ok, or at that day for a mode that announces itself. */
  private closeUnfailed(day: number, index: number | null) {
    const spell = this.spell
    if (!spell || spell.awaitsTruncation) return
    const endDay = this.lane.mode.announcesItself ? day : spell.okDays.at(-1)
    // Rule 5: nobody looked, nothing is known. The same holds where the only look is the one the watching began with.
    if (endDay === undefined || endDay - spell.originDay <= (spell.truncatedAt ?? 0)) return
    this.keep(spell, endDay - spell.originDay, Number.POSITIVE_INFINITY, endDay, false, index)
  }

  private keep(spell: Spell, lower: number, upper: number, endDay: number, event: boolean, index: number | null) {
    const { originDay, truncatedAt } = spell
    const ages = new Set([...spell.okDays.filter((okDay) => okDay < endDay), endDay].map((day) => day - originDay))
    this.lives.push({
      observation: truncatedAt === undefined ? { lower, upper } : { lower, upper, truncatedAt },
      startDay: originDay,
      endDay,
      event,
      ...(spell.ageKnown ? {} : { unknownAge: { lower, upper } }),
      lookAges: [...ages].filter((age) => age > 0),
      from: index === null || spell.from.includes(index) ? [...spell.from] : [...spell.from, index],
    })
  }
}

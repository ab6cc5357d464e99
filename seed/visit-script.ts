/** A visit's story as the commands a phone sends. Pure. */

import { addDays } from '@/lib/office/frame/days'
import { newDeviceId } from '@/lib/office/frame/row-ids'
import { isShownByRunning, renewalsFor } from '@/lib/office/visits/looking'
import type { VisitCommandInput } from '@/lib/office/visits/schema'
import { demoId } from './demo-ids'
import { failureOf } from './drivers'
import { TECHNICIANS } from './names'
import type { DemoDevice } from './plan-register'
import { partOf } from './price-list'
import type { Job, Looked, VisitStory } from './tank-life'
import {
  CALL_OUTS,
  CUT_SHORT,
  LEFT_EARLY,
  MODE_WORDS,
  NO_ACCESS,
  NOTES_FOR_CLIENT,
  NOTES_FOR_US,
  PROMISES,
} from './visit-words'

/** A device may have been exchanged by an earlier visit of this tank: from its first id to the present one. */
export type DevicesNow = Map<string, string>
export type Promised = { followUpId: string; dueOn: string }
/** What one tank's visits hand on to the next. */
export type TankMemory = { devices: DevicesNow; promised: Promised[] }
export type ScriptNeeds = {
  businessId: string
  timeMs: number
  /** Day of `now`; promises made long ago were kept, newer ones may be overdue. */
  today: string
  priceIds: ReadonlyMap<string, string>
  /** Parts that are kept, by the key of their price. */
  partIds: ReadonlyMap<string, string>
  /** The client of this tank reads its record. */
  isRead: boolean
}

type Said = VisitCommandInput extends infer Command
  ? Command extends VisitCommandInput
    ? Omit<Command, 'id' | 'businessId' | 'visitId' | 'version' | 'madeAt' | 'deviceId' | 'deviceSeq'>
    : never
  : never

/** Kinds of device that are switched off when their work opens them, in restart order. */
const SWITCHED = [
  'circulation-pump',
  'external-filter',
  'return-pump',
  'protein-skimmer',
  'uv-steriliser',
  'heater',
].concat(['carbon-dioxide-set', 'dosing-pump', 'auto-top-up'])
const NOT_SWITCHED = new Set(['return-pump/clear-strainer', 'auto-top-up/wipe-sensor', 'dosing-pump/calibrate'])
const STANDING_CHECKS = ['sockets-dry', 'drip-loops', 'levels', 'lids', 'tools', 'cabinet-photo'].map(
  (name) => `check/${name}`,
)
const KEPT_AFTER_DAYS = 40
/** Older visits tell less: people look at the newest, and every command takes its time to load. */
const SAID_IN_FULL_WEEKS = 3

/** All commands of a visit, those after `now` left out: a visit under way stops where it is. */
export function scriptOf(story: VisitStory, memory: TankMemory, needs: ScriptNeeds): VisitCommandInput[] {
  const { visit } = story
  const commands: VisitCommandInput[] = []
  const startMs = visit.startsAt.getTime()
  const totalMs = visit.minutes * 60_000
  let deviceSeq = 0
  const idAt = (part: number, key: string) => demoId(startMs + part * totalMs, `${visit.id} ${key}`)
  const say = (part: number, said: Said, id?: string) => {
    deviceSeq += 1
    const madeAt = new Date(startMs + Math.floor(part * totalMs) + deviceSeq).toISOString()
    const deviceId = `phone of ${TECHNICIANS[visit.technician]?.name ?? ''}`
    const envelope = { businessId: needs.businessId, visitId: visit.id, version: 1, madeAt, deviceId, deviceSeq }
    // One of the union's members with its own envelope: the compiler cannot join the two halves by itself.
    commands.push({ ...envelope, id: id ?? idAt(part, `${said.kind} ${deviceSeq}`), ...said } as VisitCommandInput)
  }
  const memoryBefore = memory.promised
  if (visit.isBooked) say(0, { kind: 'visit.arrive' })
  else
    say(
      0,
      { kind: 'visit.start', tankId: visit.tank.id, visitKind: visit.kind, whatFor: callOutOf(story)?.whatFor ?? '' },
      visit.id,
    )
  if (story.ending === 'no_access') {
    say(0.2, { kind: 'visit.no-access', reason: pick(NO_ACCESS, story.luck), minutes: 15 })
    return untilNow(commands, needs)
  }
  if (visit.kind === 'call_out') {
    sayCallOut(story, say)
    return untilNow(commands, needs)
  }
  sayReports(story, memory, say)
  sayLooks(story, memory, say)
  if (story.readings.length > 0)
    say(0.3, {
      kind: 'visit.readings',
      readings: story.readings.map(({ quantity, value, unit }) => ({
        quantity,
        enteredValue: value,
        enteredUnit: unit,
      })),
    })
  const isRecent = visit.week >= -SAID_IN_FULL_WEEKS
  const off = isRecent || story.ending === 'left_early' ? switchedOff(story) : []
  if (off.length > 0) say(0.35, { kind: 'visit.switch-off', devices: off })
  const exchanged: [string, string][] = []
  for (const [place, job] of story.jobs.entries()) {
    const part = 0.4 + 0.3 * (place / story.jobs.length)
    const id = idAt(part, `work ${place}`)
    say(part, workOf(job, memory.devices, visit), id)
    const used = partOf(job.task)
    if (used) {
      const priceItemId = needs.priceIds.get(used.key) ?? null
      const partId = needs.partIds.get(used.key) ?? null
      say(part, { kind: 'visit.use-part', priceItemId, partId, description: used.name, quantity: 1, billable: true })
    }
    if (job.task === 'heater/replace') exchanged.push([job.device.id, newDeviceId(id)])
  }
  sayPromises(story, memory, needs, { say, idAt })
  const stillOff = story.ending === 'left_early' ? ['protein-skimmer'] : []
  const on = off.filter((device) => !stillOff.includes(device))
  if (on.length > 0) say(0.85, { kind: 'visit.switch-on', devices: on })
  if (needs.isRead || (isRecent && story.luck < 0.3))
    say(0.9, { kind: 'visit.note', audience: 'client', text: noteForClient(story), replaces: [] })
  if (story.luck > 0.94)
    say(0.92, { kind: 'visit.note', audience: 'us', text: pick(NOTES_FOR_US, story.luck * 7), replaces: [] })
  const { ending } = story
  say(1, {
    kind: 'visit.leave',
    outcome: ending === 'cut_short' ? 'cut_short' : 'done',
    minutes: visit.minutes,
    leavingCheckDone: off.length > 0 ? STANDING_CHECKS : [],
    leftEarlyReason: ending === 'cut_short' ? CUT_SHORT : ending === 'left_early' ? pick(LEFT_EARLY, story.luck) : '',
  })
  const made = untilNow(commands, needs)
  // What was not said yet changes nothing.
  if (made.length === commands.length) for (const [from, to] of exchanged) memory.devices.set(from, to)
  else memory.promised = memoryBefore
  return made
}

const untilNow = (commands: VisitCommandInput[], { timeMs }: ScriptNeeds) =>
  commands.filter(({ madeAt }) => Date.parse(madeAt) <= timeMs)

type Say = (part: number, said: Said, id?: string) => void

function lookOf({ device, life, isBad }: Looked, devices: DevicesNow, visit: VisitStory['visit']) {
  const { cause, symptom, remedy, asLeft } = MODE_WORDS[life.mode] ?? { cause: '', symptom: '', remedy: '', asLeft: '' }
  const { failed } = failureOf(visit.tank, visit.storyDay, life.mode)
  const asFound = failed ? ('failed' as const) : ('needs_it' as const)
  const said = isBad
    ? { asFound, symptom, cause, remedy, asLeft, cureConfidence: 'sure' as const }
    : { asFound: 'ok' as const }
  return { equipmentId: devices.get(device.id) ?? device.id, mode: life.mode, depth: life.depth, ...said }
}

/** What the client had told us before the visit: things that had failed in between. */
function sayReports({ visit, jobs }: VisitStory, { devices }: TankMemory, say: Say): void {
  for (const { device, life, isBad } of jobs.flatMap(({ looks }) => looks)) {
    const { toldDaysBefore } = failureOf(visit.tank, visit.storyDay, life.mode)
    if (!isBad || toldDaysBefore === null) continue
    say(0.1, {
      kind: 'visit.record-report',
      equipmentId: devices.get(device.id) ?? device.id,
      mode: life.mode,
      asFound: 'failed',
      reportedOn: addDays(visit.day, -toldDaysBefore),
      sure: false,
      words: 'The client called: it has stopped.',
    })
  }
}

/** What was looked at by itself, then the one tap for what running shows. */
function sayLooks(story: VisitStory, { devices }: TankMemory, say: Say): void {
  const { visit, looks, open } = story
  const single = [
    ...looks.filter(({ life }) => !isShownByRunning(life.mode)).map((look) => lookOf(look, devices, visit)),
    ...open.map((look) => ({
      ...lookOf(look, devices, visit),
      remedy: '',
      asLeft: 'Left for the next visit',
      cureConfidence: null,
    })),
  ]
  if (single.length > 0) say(0.15, { kind: 'visit.record-looks', looks: single })
  const running = looks.filter(({ life }) => isShownByRunning(life.mode))
  if (running.length > 0)
    say(0.2, {
      kind: 'visit.all-running',
      pairs: running.map(({ device, life }) => ({ equipmentId: devices.get(device.id) ?? device.id, mode: life.mode })),
    })
}

function workOf({ device, task, looks }: Job, devices: DevicesNow, visit: VisitStory['visit']): Said {
  const bad = looks.filter(({ isBad }) => isBad)
  return {
    kind: 'visit.work',
    equipmentId: devices.get(device.id) ?? device.id,
    task,
    partial: false,
    looks: looks.map((look) => lookOf(look, devices, visit)),
    renewals: renewalsFor(
      task,
      bad.length > 0 ? 'condition' : 'schedule',
      looks.map(({ life, isBad }) => ({ mode: life.mode, asFound: isBad ? 'needs_it' : 'ok' })),
      bad.map(({ life }) => life.mode),
    ),
  }
}

function switchedOff({ jobs, ending }: VisitStory): string[] {
  const classes = new Set(jobs.filter(({ task }) => !NOT_SWITCHED.has(task)).map(({ device }) => device.equipmentClass))
  if (ending === 'left_early') classes.add('protein-skimmer')
  // Without the return there is nothing for the skimmer and the top-up to do.
  if (classes.has('return-pump')) for (const other of ['protein-skimmer', 'auto-top-up']) classes.add(other)
  return SWITCHED.filter((device) => classes.has(device))
}

function sayPromises(
  { visit, open, luck }: VisitStory,
  memory: TankMemory,
  needs: ScriptNeeds,
  { say, idAt }: { say: Say; idAt: (part: number, key: string) => string },
): void {
  const isLongAgo = (day: string) => addDays(day, KEPT_AFTER_DAYS) < needs.today
  const kept = memory.promised.filter(({ dueOn }) => isLongAgo(dueOn) || luck < 0.4)
  for (const { followUpId } of kept) say(0.8, { kind: 'visit.promise-kept', followUpId, note: 'Done at this visit.' })
  memory.promised = memory.promised.filter((promise) => !kept.includes(promise))
  if (open.length === 0 && luck < 0.93) return
  const followUpId = idAt(0.82, 'promise')
  const dueOn = addDays(visit.day, 5 + Math.floor((luck * 1000) % 12))
  const what = open.length > 0 ? (PROMISES[0] ?? '') : pick(PROMISES.slice(1), luck * 13)
  say(0.82, { kind: 'visit.promise', what, dueOn }, followUpId)
  memory.promised = [...memory.promised, { followUpId, dueOn }]
}

/** What a call-out was for; null where the tank has none of the devices that call for one. */
function callOutOf({ visit }: VisitStory) {
  if (visit.kind !== 'call_out') return null
  const fitting = CALL_OUTS.find(({ equipmentClass }) => deviceOf(visit.tank.devices, equipmentClass))
  return fitting ?? null
}
const deviceOf = (devices: readonly DemoDevice[], equipmentClass: string) =>
  devices.find((device) => device.equipmentClass === equipmentClass)

function sayCallOut(story: VisitStory, say: Say): void {
  const about = callOutOf(story)
  const device = about && deviceOf(story.visit.tank.devices, about.equipmentClass)
  if (about && device) {
    const { mode, task, words } = about
    say(0.1, {
      kind: 'visit.record-report',
      ...{ equipmentId: device.id, mode, asFound: 'needs_it', reportedOn: story.visit.day, sure: true, words },
    })
    const look = {
      equipmentId: device.id,
      mode,
      asFound: 'needs_it' as const,
      depth: 'opened' as const,
      symptom: words,
    }
    say(0.4, {
      ...{ kind: 'visit.work', equipmentId: device.id, task, partial: false, looks: [look] },
      renewals: renewalsFor(task, 'condition', [{ mode, asFound: 'needs_it' }], [mode]),
    })
  }
  const { minutes } = story.visit
  say(1, { kind: 'visit.leave', outcome: 'done', minutes, leavingCheckDone: [], leftEarlyReason: '' })
}

function noteForClient({ jobs, luck }: VisitStory): string {
  const told = jobs.flatMap(({ looks }) => {
    const words = looks[0] && MODE_WORDS[looks[0].life.mode]?.told
    return words ? [words] : []
  })
  return [pick(NOTES_FOR_CLIENT, luck * 11), ...new Set(told)].join(' ')
}

/** One of a list by a number, any. */
function pick(list: readonly string[], luck: number): string {
  return list[Math.floor((luck - Math.floor(luck)) * list.length)] ?? ''
}

/** Small states that follow from a list of things said in canonical order. Pure. */
import { leavingCheck, leavingProblems } from '@/lib/trade/restart-order'
import type { RecordedNote } from './record'

export type Switching = { on: boolean; devices: readonly string[] }

/**
 * What was off at any time, and what runs again in the order in which it came on. Switching off again, or on again, moves a
 * device: only its last time counts.
 */
export function switchState(switching: readonly Switching[]): { switchedOff: string[]; switchedOn: string[] } {
  const off = new Set<string>()
  const on = new Set<string>()
  for (const step of switching)
    for (const device of step.devices) {
      on.delete(device)
      if (!step.on) off.add(device)
      else if (off.has(device)) on.add(device)
    }
  return { switchedOff: [...off], switchedOn: [...on] }
}

export type NoteSaid = { id: string; audience: 'client' | 'us'; text: string; replaces: readonly string[] }

/** The notes that nobody wrote anew, in canonical order. An empty text takes the ones it replaces away. */
export function currentNotes(notes: readonly NoteSaid[]): {
  notesForClient: RecordedNote[]
  notesForUs: RecordedNote[]
} {
  const replaced = new Set(notes.flatMap((note) => note.replaces))
  const standing = notes.filter((note) => !replaced.has(note.id) && note.text !== '')
  const of = (audience: NoteSaid['audience']) =>
    standing.filter((note) => note.audience === audience).map(({ id, text }) => ({ id, text }))
  return { notesForClient: of('client'), notesForUs: of('us') }
}

/** What still stands against leaving, in words; empty when the leaving check is complete. */
export function leavingHindrances(
  { switchedOff, switchedOn }: { switchedOff: readonly string[]; switchedOn: readonly string[] },
  leavingCheckDone: readonly string[],
): string[] {
  const problems = leavingProblems(switchedOff, switchedOn).map(({ text }) => text)
  const asked = leavingCheck(switchedOff).filter((item) => item.kind === 'check')
  const open = asked.filter((item) => !leavingCheckDone.includes(item.slug))
  return [...problems, ...open.map(({ text }) => `Not confirmed: ${text}`)]
}

/** What is wrong with a form of a visit, each message with the device and the thing that it is about. Pure. */
import { findTask, WEAR_QUANTITIES } from '@/lib/trade'
import { wearQuantityOf } from './device-reading'
import { readingName } from './water'

/** What things of one visit are called. Modes: those that only this business knows as well. */
export type NamesAtVisit = {
  device: (equipmentId: string) => string | undefined
  container: (reservoirId: string) => string | undefined
  mode: (slug: string) => string
}

type Issue = { path: readonly PropertyKey[]; message: string }

/** Messages in the order of the form, none twice. */
export function formMessages(saying: Record<string, unknown>, issues: readonly Issue[], names: NamesAtVisit): string[] {
  return [...new Set(issues.map(({ path, message }) => named(thingAt(saying, path), message, names)))]
}

/** The same for one message about a whole form. */
export function formMessage(saying: Record<string, unknown>, message: string, names: NamesAtVisit): string {
  return named(thingAt(saying, []), message, names)
}

type Thing = Partial<Record<'equipmentId' | 'mode' | 'task' | 'quantity' | 'reservoirId', unknown>>

/** What is said nearest to the field, with what is said above it. */
function thingAt(saying: Record<string, unknown>, path: readonly PropertyKey[]): Thing {
  let here: unknown = saying
  let thing: Record<PropertyKey, unknown> = { ...saying }
  for (const key of path) {
    if (typeof here !== 'object' || here === null) break
    here = (here as Record<PropertyKey, unknown>)[key] // an object or an array, just seen
    // The reasons of a task carry its modes: the message is about the task.
    if (typeof here === 'object' && here !== null && !Array.isArray(here) && path[0] !== 'renewals')
      thing = { ...thing, ...here }
  }
  return thing
}

function named({ equipmentId, mode, task, quantity, reservoirId }: Thing, message: string, names: NamesAtVisit) {
  const text = (value: unknown) => (typeof value === 'string' && value !== '' ? value : null)
  const device = names.device(text(equipmentId) ?? '')
  const container = names.container(text(reservoirId) ?? '')
  const [modeSlug, taskSlug, quantitySlug] = [text(mode), text(task), text(quantity)]
  const what = modeSlug
    ? names.mode(modeSlug)
    : quantitySlug
      ? quantityName(quantitySlug)
      : taskSlug && findTask(taskSlug)?.name
  const about = [device ?? container, what].filter((one) => one !== undefined && one !== null && one !== '')
  return about.length === 0 ? message : `${about.join(', ')}: ${message}`
}

function quantityName(slug: string): string {
  const wear = wearQuantityOf(slug)
  return wear === null ? readingName(slug) : WEAR_QUANTITIES[wear].name
}

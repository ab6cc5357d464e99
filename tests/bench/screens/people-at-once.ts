import { askFor } from './measure-screen'
import type { Program } from './running-program'
import type { Screen } from './screen-list'

const PEOPLE = 20
const PAUSE_MS = 3000
const SECONDS = 60

export type AtOnce = { requests: number; errors: string[]; p50Ms: number; p95Ms: number; worstMs: number }

/** Twenty people who look at one screen after the other, each with a pause, for a minute. */
export async function peopleAtOnce(
  program: Program,
  people: readonly { cookie: string; screens: readonly Screen[] }[],
): Promise<AtOnce> {
  const times: number[] = []
  const errors: string[] = []
  const endAt = performance.now() + SECONDS * 1000
  const work = async (place: number) => {
    const person = people[place % people.length]
    if (!person) return
    await pause((PAUSE_MS * place) / PEOPLE)
    for (let step = place; performance.now() < endAt; step++) {
      const screen = person.screens[step % person.screens.length]
      if (!screen) return
      const { status, ms } = await askFor(`${program.address}${screen.path}`, person.cookie)
      if (status !== 200) errors.push(`${screen.name}: ${status}`)
      times.push(ms)
      await pause(PAUSE_MS)
    }
  }
  await Promise.all(Array.from({ length: PEOPLE }, (_, place) => work(place)))
  times.sort((a, b) => a - b)
  const at = (share: number) => times[Math.min(times.length - 1, Math.floor(times.length * share))] ?? 0
  return { requests: times.length, errors, p50Ms: at(0.5), p95Ms: at(0.95), worstMs: at(1) }
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

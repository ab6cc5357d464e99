import { Client } from 'pg'
import type { DatabaseUrls } from '@/lib/entry/database'
import { groupBy } from '@/lib/office/frame/group-by'
import { median } from '../timing'
import type { Program, Statement } from './running-program'
import type { Screen } from './screen-list'

export type Measured = {
  screen: Screen
  status: number
  /** Medians of the requests, milliseconds; what the same statements take one after the other without the program. */
  medianMs: number
  sqlMs: number
  statements: number
  kb: number
  /** The statements that took longest when sent by themselves, slowest first. */
  slowest: { ms: number; text: string }[]
}

const ROUNDS = 10
/** A screen that needs longer is measured less often, and says so by itself. */
const SLOW_MS = 5000
const GIVE_UP_MS = 120_000

/** One screen: warmed up, asked ten times, then its statements sent again by a plain connection with the same rights. */
export async function measureScreen(
  program: Program,
  screen: Screen,
  cookie: string,
  urls: DatabaseUrls,
): Promise<Measured> {
  const ask = () => askFor(`${program.address}${screen.path}`, cookie)
  const first = await ask()
  if (first.status !== 200)
    return { screen, status: first.status, medianMs: first.ms, sqlMs: 0, statements: 0, kb: 0, slowest: [] }
  if (first.ms < SLOW_MS) await ask()
  await program.watch('reset')
  const { bytes, ms } = await ask()
  const { statements } = await program.watch('read')
  const times = [ms]
  const rounds = ms > SLOW_MS ? 2 : ROUNDS
  while (times.length < rounds) times.push((await ask()).ms)
  const { sqlMs, slowest } = await replay(urls, statements, ms > SLOW_MS ? 1 : 5)
  return {
    screen,
    status: 200,
    medianMs: median(times),
    sqlMs,
    statements: statements.length,
    kb: bytes / 1000,
    slowest,
  }
}

/** One request as a browser sends it; 0 where nothing came in two minutes. */
export async function askFor(url: string, cookie: string): Promise<{ status: number; ms: number; bytes: number }> {
  const startedAt = performance.now()
  try {
    const response = await fetch(url, {
      headers: { cookie, accept: 'text/html', 'accept-encoding': 'identity' },
      redirect: 'manual',
      signal: AbortSignal.timeout(GIVE_UP_MS),
    })
    const bytes = (await response.arrayBuffer()).byteLength
    return { status: response.status, ms: performance.now() - startedAt, bytes }
  } catch {
    return { status: 0, ms: performance.now() - startedAt, bytes: 0 }
  }
}

/** Transactions that ran side by side are sent one after the other, each by the role that sent it. */
async function replay(urls: DatabaseUrls, sent: readonly Statement[], rounds: number) {
  const clients = new Map<string, Client>()
  for (const url of [urls.appUrl, urls.identityUrl]) {
    const client = new Client({ connectionString: url })
    await client.connect()
    clients.set(new URL(url).username, client)
  }
  try {
    const times: number[] = []
    const each = new Map<Statement, number[]>(sent.map((statement) => [statement, []]))
    for (let round = 0; round < rounds; round++) {
      const startedAt = performance.now()
      for (const ofOne of groupBy(sent, ({ connection }) => connection).values())
        for (const statement of ofOne) {
          const { text, values, user } = statement
          const sentAt = performance.now()
          await clients.get(user)?.query({ text, values, rowMode: 'array' })
          each.get(statement)?.push(performance.now() - sentAt)
        }
      times.push(performance.now() - startedAt)
    }
    const slowest = [...each]
      .map(([{ text }, took]) => ({ ms: median(took), text }))
      .toSorted((a, b) => b.ms - a.ms)
      .slice(0, 3)
    return { sqlMs: median(times), slowest }
  } finally {
    for (const client of clients.values()) await client.end()
  }
}

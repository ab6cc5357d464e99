import { get } from 'node:https'
import { newFirstRunCode, noBusinessYet } from '@/lib/office/people/first-run'
import { hasCertificate, readCertificate } from '@/lib/platform/config/certificate'
import { portProblem } from '@/lib/platform/config/free-port'
import { isLoopbackOnly } from '@/lib/platform/config/loopback'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { programFile } from '@/lib/platform/config/program-file'
import { storedSecret } from '@/lib/platform/config/stored-secret'
import { closeDatabase } from '@/lib/platform/db/client'
import { filesFolder } from '@/lib/platform/files/file-store'
import { placeFilesByHash } from '@/lib/platform/files/move-files'
import { buildScreens } from './build'
import { type Child, ChildProcesses } from './child-processes'
import { readArguments } from './command-line'
import { type DatabaseUrls, openDatabase } from './database'
import { loadDemo } from './demo'
import { type PlaceOfServer, placeOfServer, rememberAddress } from './place-of-server'
import { prepareDatabase } from './prepare-database'
import { rebuildMissing } from './rebuild-missing'
import { runCommand, untilInterrupted } from './run-command'

const log = (line: string) => process.stdout.write(`${line}\n`)

/** The web process needs some 150 MiB; without a limit it collects its garbage so late that it takes a small machine's memory. */
const WEB_HEAP_MIB = 512

/** What is loaded into the database when people press Ctrl-C ends by itself within this time, or is cut off and done again. */
const LOADING_ENDS_MS = 5_000
let loading: Promise<void> = Promise.resolve()

const USAGE = `npm start

Sets up whatever is missing and serves Tankround until Ctrl-C. Settings are taken from the environment: PORT, HOST, NEXTAUTH_URL,
DATABASE_URL, APP_DATABASE_URL, IDENTITY_DATABASE_URL, TANKROUND_DATA, TANKROUND_FILES, TANKROUND_DEMO=0 and others; docs/install.md
explains them.`

/** `npm start`: everything from a fresh checkout to a running Tankround; returns when it has been stopped again. */
await runCommand(async () => {
  readArguments({ usage: USAGE, options: {} })
  const interrupted = untilInterrupted()
  const place = placeOfServer()
  readCertificate() // wrong files are told before anything is set up
  const problem = await portProblem(place.port, place.host)
  if (problem !== null) throw new OperatorError(problem)
  const children = new ChildProcesses()
  const database = await openDatabase()
  const leaving = new AbortController()
  try {
    const serving = serve(children, database, place, leaving.signal)
    const outcome = await Promise.race([serving, interrupted.then(() => 'stopped' as const)])
    if (outcome === 'stopped') log('\nStopping …')
  } finally {
    leaving.abort()
    await children.stop()
    await atMost(LOADING_ENDS_MS, loading)
    await database.close()
  }
  log('Stopped. What was entered is kept.')
})

/** Runs until the web server ends by itself, which is a fault. */
async function serve(
  children: ChildProcesses,
  urls: DatabaseUrls,
  place: PlaceOfServer,
  signal: AbortSignal,
): Promise<never> {
  const onlyHere = isLoopbackOnly(place)
  process.env.DATABASE_URL = urls.ownerUrl
  process.env.APP_DATABASE_URL = urls.appUrl
  process.env.IDENTITY_DATABASE_URL = urls.identityUrl
  const data = async () => {
    await prepareDatabase(urls)
    await placeFilesByHash(filesFolder())
    await rebuildMissing(log)
    return loadDemo(log, { onlyHere, signal })
  }
  const demoLoaded = data()
  loading = demoLoaded.then(
    () => undefined,
    () => undefined, // its fault is told below
  )
  const [demo] = await Promise.all([demoLoaded, buildScreens(children, log)])
  if (children.stopping) return await new Promise<never>(() => undefined)

  const env = {
    DATABASE_URL: undefined, // the screens and the worker have no business with the owner of the database
    APP_DATABASE_URL: urls.appUrl,
    IDENTITY_DATABASE_URL: urls.identityUrl,
    NODE_ENV: 'production',
    NEXT_TELEMETRY_DISABLED: '1',
    NEXTAUTH_URL: place.publicAddress,
    NEXTAUTH_SECRET: process.env.NEXTAUTH_SECRET || storedSecret('secret'),
  }
  // Where others could be quicker, only whoever sees this terminal begins: an empty database belongs to nobody yet.
  const code = onlyHere ? undefined : newFirstRunCode()
  const where = { HOST: place.host, PORT: String(place.port), TANKROUND_FIRST_RUN_CODE: code }
  const web = children.start('web', [`--max-old-space-size=${WEB_HEAP_MIB}`, programFile('web')], { ...env, ...where })
  keepWorker(children, env)
  if (!(await answers(web, place))) throw await ended(web, children)
  rememberAddress(place.publicAddress)
  const first = code && (await isEmpty()) ? `The first page asks for this code: ${code}\n` : ''
  log(`\nTankround is at ${place.publicAddress}\n${demo}${first}\nStop it with Ctrl-C.`)
  throw await ended(web, children)
}

/** The fault that the web server ended by itself; never where it was asked to. */
async function ended(web: Child, children: ChildProcesses): Promise<OperatorError> {
  await web.exited
  if (children.stopping) return await new Promise<never>(() => undefined)
  return new OperatorError(`The web server ended. The end of ${web.logFile}:\n${web.lastLines(15)}`)
}

async function isEmpty(): Promise<boolean> {
  try {
    return await noBusinessYet()
  } finally {
    await closeDatabase()
  }
}

/** Starts the worker, and again when it falls over: the screens work without it meanwhile. */
function keepWorker(children: ChildProcesses, env: Record<string, string | undefined>): void {
  const worker = children.start('worker', [programFile('worker')], env)
  worker.exited.then(() => {
    if (children.stopping) return
    log(`The worker ended and is started again in 10 seconds; see ${worker.logFile}.`)
    setTimeout(() => children.stopping || keepWorker(children, env), 10_000).unref()
  })
}

/** Waits for the first answer; false where the web server ended before it. */
async function answers(web: Child, { host, port }: PlaceOfServer): Promise<boolean> {
  const shown = host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host
  const secure = hasCertificate()
  const url = `http${secure ? 's' : ''}://${shown.includes(':') ? `[${shown}]` : shown}:${port}/`
  for (const startedAt = Date.now(); web.isRunning(); ) {
    const status = await (secure ? statusOverTls(url) : statusOf(url))
    if (status !== null && status < 500) return true
    if (Date.now() - startedAt > 60_000)
      throw new OperatorError(
        `The web server does not answer at ${url}${status === null ? '' : ` (status ${status})`}. The end of ${web.logFile}:\n${web.lastLines(15)}`,
      )
    await new Promise((resolve) => setTimeout(resolve, 150))
  }
  return false
}

async function statusOf(url: string): Promise<number | null> {
  const response = await fetch(url, { redirect: 'manual' }).catch(() => null)
  return response?.status ?? null
}

/** The same of our own server by a number: its certificate is for its name. */
function statusOverTls(url: string): Promise<number | null> {
  return new Promise((resolve) => {
    get(url, { rejectUnauthorized: false }, (response) => {
      response.resume()
      resolve(response.statusCode ?? null)
    }).on('error', () => resolve(null))
  })
}

async function atMost(milliseconds: number, work: Promise<void>): Promise<void> {
  const timer = new Promise<void>((resolve) => setTimeout(resolve, milliseconds).unref())
  await Promise.race([work, timer])
}

import { isFree } from '@/lib/platform/config/free-port'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { storedSecret } from '@/lib/platform/config/stored-secret'
import { buildScreens, generateClient, NEXT } from './build'
import { type Child, ChildProcesses } from './child-processes'
import { openDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand, untilInterrupted } from './run-command'

const log = (line: string) => process.stdout.write(`${line}\n`)

const host = process.env.HOST?.trim() || '127.0.0.1'
const port = Number(process.env.PORT || 3000)
const address = process.env.NEXTAUTH_URL?.trim() || `http://localhost:${port}`

/** `npm start`: everything from a fresh checkout to a running Tankround; returns when it has been stopped again. */
await runCommand(async () => {
  const interrupted = untilInterrupted()
  if (!Number.isInteger(port) || port < 1 || port > 65_535)
    throw new OperatorError('PORT must be a number from 1 to 65535.')
  if (!(await isFree(port, host)))
    throw new OperatorError(`Port ${port} is taken by another program. Choose another one: PORT=${port + 1} npm start`)
  await generateClient()

  const children = new ChildProcesses()
  const database = await openDatabase()
  try {
    const outcome = await Promise.race([serve(children, database), interrupted.then(() => 'stopped' as const)])
    if (outcome === 'stopped') log('\nStopping …')
  } finally {
    await children.stop()
    await database.close()
  }
  log('Stopped. What was entered is kept.')
})

/** Runs until the web server ends by itself, which is a fault. */
async function serve(children: ChildProcesses, urls: { ownerUrl: string; appUrl: string }): Promise<never> {
  process.env.DATABASE_URL = urls.ownerUrl
  process.env.APP_DATABASE_URL = urls.appUrl
  const data = async () => {
    await prepareDatabase(urls)
    const { loadDemo } = await import('./demo') // after the database client has been generated
    return loadDemo(log)
  }
  const [demo] = await Promise.all([data(), buildScreens(children, log)])
  if (children.stopping) return await new Promise<never>(() => undefined)

  const env = {
    DATABASE_URL: undefined, // the screens and the worker have no business with the owner of the database
    APP_DATABASE_URL: urls.appUrl,
    NODE_ENV: 'production',
    NEXT_TELEMETRY_DISABLED: '1',
    NEXTAUTH_URL: address,
    NEXTAUTH_SECRET: process.env.NEXTAUTH_SECRET || storedSecret('secret'),
  }
  const web = children.start('web', [NEXT, 'start', '-H', host, '-p', String(port)], env)
  keepWorker(children, env)
  await answers(web)
  log(`\nTankround is at ${address}\n${demo}\nStop it with Ctrl-C.`)
  await web.exited
  if (children.stopping) return await new Promise<never>(() => undefined)
  throw new OperatorError(`The web server ended. The end of ${web.logFile}:\n${web.lastLines(15)}`)
}

/** Starts the worker, and again when it falls over: the screens work without it meanwhile. */
function keepWorker(children: ChildProcesses, env: Record<string, string | undefined>): void {
  const worker = children.start('worker', ['--conditions=react-server', '--import', 'tsx', 'lib/entry/worker.ts'], env)
  worker.exited.then(() => {
    if (children.stopping) return
    log(`The worker ended and is started again in 10 seconds; see ${worker.logFile}.`)
    setTimeout(() => children.stopping || keepWorker(children, env), 10_000).unref()
  })
}

async function answers(web: Child): Promise<void> {
  const shown = host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host
  const url = `http://${shown.includes(':') ? `[${shown}]` : shown}:${port}/`
  for (const startedAt = Date.now(); web.isRunning(); ) {
    const response = await fetch(url, { redirect: 'manual' }).catch(() => null)
    if (response && response.status < 500) return
    if (Date.now() - startedAt > 60_000)
      throw new OperatorError(
        `The web server does not answer at ${url}${response ? ` (status ${response.status})` : ''}. The end of ${web.logFile}:\n${web.lastLines(15)}`,
      )
    await new Promise((resolve) => setTimeout(resolve, 150))
  }
}

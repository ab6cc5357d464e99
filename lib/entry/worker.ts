import { dayIn } from '@/lib/office/frame/days'
import { storeAnswer } from '@/lib/office/frame/stored-answer'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { rankStaleFaults } from '@/lib/office/lanes/rank-faults'
import { rebuildDerived, refitLifeModels } from '@/lib/office/lanes/rebuild'
import { recomputeStale } from '@/lib/office/lanes/recompute-stale'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { closeDatabase } from '@/lib/platform/db/client'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import type { JobHandlers } from '@/lib/platform/jobs/queues'
import { startWorker } from '@/lib/platform/jobs/worker'
import { QUESTIONS } from './questions'
import { runCommand, untilInterrupted } from './run-command'

/** The worker acts for no person. */
const NOBODY = '00000000-0000-0000-0000-000000000000'

/** What is done for each queue: the one place where the job queue meets the office. */
const handlers: JobHandlers = {
  'refit-life-models': async ({ businessId }) => {
    const who = { businessId, personId: NOBODY }
    const { timeZone } = await inScope({ role: 'office', ...who }, (tx) =>
      tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { timeZone: true } }),
    )
    await refitLifeModels(who, dayOf(new Date(dayIn(timeZone, new Date()))))
    for (const question of QUESTIONS) await storeAnswer(who, question, new Date())
  },
  'work-out-answer': async ({ businessId, question: name }) => {
    const question = QUESTIONS.find((known) => known.name === name)
    if (question) await storeAnswer({ businessId, personId: NOBODY }, question, new Date())
  },
  'rank-faults': ({ businessId }) => rankStaleFaults({ businessId, personId: NOBODY }),
  'rebuild-derived': ({ businessId }) => rebuildDerived({ businessId, personId: NOBODY }),
  'recompute-stale-lanes': ({ businessId }) => recomputeStale({ businessId, personId: NOBODY }),
}

const log = (line: string, error?: unknown) => {
  const reason =
    error instanceof Error ? ` ${error.stack ?? error.message}` : error === undefined ? '' : ` ${String(error)}`
  process.stderr.write(`${new Date().toISOString()} ${line}${reason}\n`)
}

/** The job worker, beside the web server: works until it is asked to end or the process that started it is gone. */
await runCommand(async () => {
  const appUrl = process.env.APP_DATABASE_URL
  if (!appUrl) throw new OperatorError('APP_DATABASE_URL is not set; "npm start" starts the worker and sets it.')
  const worker = await startWorker({
    appUrl,
    handlers,
    listBusinesses: () =>
      asIdentity((tx) => tx.business.findMany({ select: { id: true, timeZone: true }, orderBy: { id: 'asc' } })),
    log,
    now: () => new Date(),
  })
  await untilInterrupted()
  await worker.stop()
  await closeDatabase()
})

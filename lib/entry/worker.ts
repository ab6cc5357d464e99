import { dayOf } from '@/lib/office/due/days'
import { rankStaleFaults } from '@/lib/office/due/rank-faults'
import { rebuildDerived, refitLifeModels } from '@/lib/office/due/rebuild'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { closeDatabase } from '@/lib/platform/db/client'
import { asIdentity } from '@/lib/platform/db/scope'
import type { JobHandlers } from '@/lib/platform/jobs/queues'
import { startWorker } from '@/lib/platform/jobs/worker'
import { runCommand, untilInterrupted } from './run-command'

/** The worker acts for no person. */
const NOBODY = '00000000-0000-0000-0000-000000000000'

/** What is done for each queue: the one place where the job queue meets the office. */
const handlers: JobHandlers = {
  'refit-life-models': async ({ businessId }) => {
    await refitLifeModels({ businessId, personId: NOBODY }, dayOf(new Date()))
  },
  'rank-faults': ({ businessId }) => rankStaleFaults({ businessId, personId: NOBODY }),
  'rebuild-derived': ({ businessId }) => rebuildDerived({ businessId, personId: NOBODY }),
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
    listBusinessIds: async () => {
      const found = await asIdentity((tx) => tx.business.findMany({ select: { id: true }, orderBy: { id: 'asc' } }))
      return found.map((business) => business.id)
    },
    log,
  })
  await untilInterrupted()
  await worker.stop()
  await closeDatabase()
})

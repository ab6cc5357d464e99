import { Pool } from 'pg'
import PgBoss from 'pg-boss'
import { isNightIn } from './night'
import { JOB_SCHEMA, type JobHandlers, type JobIds, QUEUES, type QueueName } from './queues'

/** What the worker must be told by its composition root. `log` gets one plain line per event. */
export type WorkerNeeds = {
  appUrl: string
  handlers: JobHandlers
  listBusinesses: () => Promise<{ id: string; timeZone: string }[]>
  log: (line: string, error?: unknown) => void
  now: () => Date
}

/** Asked every hour which businesses have come to their night. */
const HOURLY = '40 * * * *'

/** Works on the job queues as role tankround_jobs until `stop` is called; `stop` waits for the job at hand. */
export async function startWorker({
  appUrl,
  handlers,
  listBusinesses,
  log,
  now,
}: WorkerNeeds): Promise<{ stop: () => Promise<void> }> {
  const pool = new Pool({ connectionString: appUrl, options: '-c role=tankround_jobs', max: 4 })
  pool.on('error', (error) => log('the connection to the database broke', error))
  const boss = new PgBoss({
    db: { executeSql: (text, values) => pool.query(text, values) },
    schema: JOB_SCHEMA,
    migrate: false,
  })
  boss.on('error', (error) => log('job queue', error))
  await boss.start()

  const work = (name: QueueName, handle: (ids: JobIds) => Promise<void>) =>
    boss.work<JobIds>(name, { pollingIntervalSeconds: 2 }, async (jobs) => {
      for (const job of jobs) {
        const startedAt = performance.now()
        try {
          await handle(job.data)
          log(`${name} done in ${Math.round(performance.now() - startedAt)} ms`)
        } catch (error) {
          log(`${name} failed`, error)
          throw error
        }
      }
    })

  for (const [name, handle] of Object.entries(handlers) as [Exclude<QueueName, 'nightly'>, JobHandlers['send-mail']][])
    if (handle) await work(name, handle)
  await work('nightly', async () => {
    const at = now()
    for (const { id: businessId, timeZone } of await listBusinesses())
      if (isNightIn(timeZone, at)) await boss.send('refit-life-models', { businessId }, { singletonKey: businessId })
  })
  await boss.schedule('nightly', HOURLY, {}, { tz: 'UTC' })

  log(`working on ${Object.keys(QUEUES).length} queues`)
  return {
    stop: async () => {
      await boss.stop({ graceful: true, timeout: 8000 })
      await pool.end()
    },
  }
}

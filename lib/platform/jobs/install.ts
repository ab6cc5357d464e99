import { Client } from 'pg'
import PgBoss from 'pg-boss'
import { JOB_SCHEMA, QUEUES } from './queues'

/** pg-boss keeps one queue of its own for schedules; made here because the worker may not create tables. */
const SCHEDULE_QUEUE = '__pgboss__send-it'

/**
 * Makes or updates the job tables and queues as the owner of the database, and hands out the rights on them:
 * the worker reads and writes all, the office may add a job (and see no other), a client has no right at all.
 */
export async function installQueues(ownerUrl: string): Promise<void> {
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  const boss = new PgBoss({
    db: { executeSql: (text, values) => client.query(text, values) },
    schema: JOB_SCHEMA,
    supervise: false,
    schedule: false,
  })
  const faults: unknown[] = []
  boss.on('error', (error) => faults.push(error))
  try {
    await boss.start()
    for (const [name, { policy, retryLimit, expireInSeconds }] of Object.entries(QUEUES)) {
      const options = { name, policy, retryLimit, expireInSeconds }
      await boss.createQueue(name, options)
      await boss.updateQueue(name, options)
    }
    if (!(await boss.getQueue(SCHEDULE_QUEUE)))
      await client.query(`select ${JOB_SCHEMA}.create_queue($1, $2)`, [SCHEDULE_QUEUE, { policy: 'standard' }])
    await client.query(`
      grant usage on schema ${JOB_SCHEMA} to tankround_jobs, tankround_office;
      grant select, insert, update, delete on all tables in schema ${JOB_SCHEMA} to tankround_jobs;
      grant execute on all functions in schema ${JOB_SCHEMA} to tankround_jobs;
      grant insert on ${JOB_SCHEMA}.job to tankround_office;
      grant select (id) on ${JOB_SCHEMA}.job to tankround_office;
      grant select on ${JOB_SCHEMA}.queue to tankround_office;
      revoke all on all functions in schema ${JOB_SCHEMA} from public;
    `)
    if (faults[0]) throw faults[0]
  } finally {
    await boss.stop({ graceful: false })
    await client.end()
  }
}

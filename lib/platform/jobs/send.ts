import PgBoss from 'pg-boss'
import { JOB_SCHEMA, type JobIds, QUEUES, type QueueName } from './queues'

/** The part of a Prisma transaction that sending needs. */
export type SqlTransaction = { $queryRawUnsafe<T>(sql: string, ...values: unknown[]): PromiseLike<T> }

/**
 * Sends a job inside the caller's transaction: it exists exactly if the transaction commits. Returns the job's id, or
 * null where the queue keeps one waiting job for the same ids and that one is already there.
 */
export async function sendJob(tx: SqlTransaction, name: QueueName, ids: JobIds): Promise<string | null> {
  const queue = QUEUES[name]
  const key = queue.policy === 'standard' ? {} : { singletonKey: Object.values(ids).join(' ') }
  const delay = 'delaySeconds' in queue ? { startAfter: queue.delaySeconds } : {}
  return sender().send(name, ids, {
    ...key,
    ...delay,
    db: {
      executeSql: async (text, values) => ({ rows: await tx.$queryRawUnsafe<unknown[]>(text, ...values) }),
    },
  })
}

let onlySender: PgBoss | undefined

/** Never started: it has no connection of its own, it only knows how to write a job's row. */
function sender(): PgBoss {
  onlySender ??= new PgBoss({
    schema: JOB_SCHEMA,
    db: { executeSql: () => Promise.reject(new Error('a job is sent inside a transaction')) },
  })
  return onlySender
}

import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { inScope, type Scope, type Transaction } from '@/lib/platform/db/scope'
import { sendJob } from '@/lib/platform/jobs/send'

/**
 * A question about all of a business. A small business has it worked out as it is asked; for a large one, where that takes longer than a
 * page may, the worker works it out and stores it (docs/decisions/0024). `Only` narrows it where a page needs a part of the answer.
 */
export type Question<Answer, Only = undefined> = {
  /** Its slug in the table. */
  name: string
  /** Raised whenever the answer's type changes: a stored one of another shape counts as none. */
  shape: number
  /** An answer older than this is shown, and asked for anew. */
  freshForMs: number
  /** The answer must be plain data: no dates, no maps. */
  workOut: (tx: Transaction, businessId: string, now: Date, only?: Only) => Promise<Answer>
  /** Puts back what JSON cannot say, where there is such: Infinity, which comes back as null. */
  revive?: (stored: Answer) => Answer
}

/** `madeAt`: when it was worked out, ISO; null: just now. */
export type Answered<Answer> = { answer: Answer; madeAt: string | null }

/** Up to so many tanks a question is worked out as it is asked. */
export const TANKS_WORKED_OUT_AT_ONCE = 200
const WORKED_OUT_WITHIN_MS = 10 * 60_000

/** What is stored of some questions, by their names; for a small business nothing is. */
export type StoredAnswers = { isLarge: boolean; byName: ReadonlyMap<string, { answer: unknown; madeAt: Date }> }

/** Reads several at once, for a page that asks more than one. */
export async function readStoredAnswers(
  tx: Transaction,
  businessId: string,
  questions: readonly Pick<Question<never, never>, 'name' | 'shape'>[],
): Promise<StoredAnswers> {
  const rows = await tx.$queryRaw<{ tanks: number; name: string | null; answer: unknown; madeAt: Date }[]>`
    SELECT (SELECT count(*)::int FROM (SELECT 1 FROM tank WHERE tank.business_id = ${businessId}::uuid LIMIT ${TANKS_WORKED_OUT_AT_ONCE + 1}) counted) AS tanks,
      stored.question AS name, stored.answer, stored.made_at AS "madeAt"
    FROM (SELECT 1) single LEFT JOIN (
      SELECT stored.* FROM stored_answer stored
      JOIN unnest(${questions.map(({ name }) => name)}::text[], ${questions.map(({ shape }) => shape)}::int[]) AS asked (question, shape)
        ON asked.question = stored.question AND asked.shape = stored.shape
      WHERE stored.business_id = ${businessId}::uuid) stored ON true`
  const byName = new Map(
    rows.flatMap(({ name, answer, madeAt }) => (name === null ? [] : [[name, { answer, madeAt }] as const])),
  )
  return { isLarge: (rows[0]?.tanks ?? 0) > TANKS_WORKED_OUT_AT_ONCE, byName }
}

/** The answer; null where a large business has none yet: it is asked for, and there some seconds later. `stored`: what was read already. */
export async function answerTo<Answer, Only = undefined>(
  tx: Transaction,
  businessId: string,
  question: Question<Answer, Only>,
  now: Date,
  { only, stored }: { only?: Only; stored?: StoredAnswers } = {},
): Promise<Answered<Answer> | null> {
  const { isLarge, byName } = stored ?? (await readStoredAnswers(tx, businessId, [question]))
  if (!isLarge) return { answer: await question.workOut(tx, businessId, now, only), madeAt: null }
  const { answer, madeAt } = byName.get(question.name) ?? { answer: null, madeAt: null }
  if (madeAt === null || now.getTime() - madeAt.getTime() > question.freshForMs)
    await sendJob(tx, 'work-out-answer', { businessId, question: question.name })
  if (madeAt === null) return null
  const kept = answer as Answer // written by `storeAnswer` of the same question at the same shape
  return { answer: question.revive?.(kept) ?? kept, madeAt: madeAt.toISOString() }
}

/** Works a question out and stores the answer: for the worker. */
export async function storeAnswer(
  who: Omit<Scope & { role: 'office' }, 'role'>,
  question: Pick<Question<unknown, never>, 'name' | 'shape' | 'workOut'>,
  now: Date,
) {
  const { businessId } = who
  await inScope(
    { role: 'office', ...who },
    async (tx) => {
      // What has no place in JSON would come back as something else.
      const answer = (await question.workOut(tx, businessId, now)) as Prisma.InputJsonValue
      const row = { shape: question.shape, answer, madeAt: now }
      await tx.storedAnswer.upsert({
        where: { businessId_question: { businessId, question: question.name } },
        create: { businessId, question: question.name, ...row },
        update: row,
      })
    },
    { timeoutMs: WORKED_OUT_WITHIN_MS },
  )
}

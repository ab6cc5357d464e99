import 'server-only'
import type { z } from 'zod'
import type { Prisma } from '@/generated/prisma/client'
import { brokenRule } from '@/lib/platform/db/broken-rule'
import type { TransactionLimits } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from './actor'
import { type CommandContext, contextOf } from './command-context'
import { type Addressed, earlierAnswer, type Refusal, rowOf } from './command-log'
import { invalid, OTHER_BUSINESS, problemsByField, type Result, refused } from './result'
import { type Action, mayDo } from './role-actions'
import { roleWords } from './role-words'

/** What a command may know while it runs. `madeAt` is already corrected by the clock offset. */
export type { CommandContext } from './command-context'

export type CommandOptions<Beside = never> = {
  /** A phone's refused command is kept and shown; a desk form shows the refusal at once and may send the id again. */
  keepRefused?: boolean
  /** `later`: whoever sends thousands at once makes all lanes again at the end. */
  derive?: 'at-once' | 'later'
  /** What comes beside the input and is named in it by its hash: files. */
  beside?: Beside
}

/** What `apply` answers. What is in `once` is answered to whoever sends first, and written down nowhere. */
type Applied = { ok: true; value: Prisma.InputJsonValue; once?: object } | Refusal
type ValueOf<Answer> = Answer extends { ok: true; value: infer Value } ? Value : never
type ReasonOf<Answer> = Exclude<
  Answer extends { ok: false; reason: infer Reason extends string } ? Reason : never,
  'invalid'
>

export type CommandSpec<Schema extends z.ZodType<Addressed>> = {
  /** The name under which it stands in the log, for ever. */
  kind: string
  /** Must read its own output as the same: what an action has read already is read here once more. */
  schema: Schema
  may: Action
  /** What a rule of the database says to a second person at the same moment, by the name of the rule. */
  atOnce?: Readonly<Record<string, Refusal>>
  limits?: TransactionLimits
}

/** One kind of command: a function that does it, and what the registry knows of it. */
export type Command<Input = never, Value = unknown, Reason extends string = string, Beside = never> = ((
  actor: Actor,
  input: Input,
  options?: CommandOptions<Beside>,
) => Promise<Result<Value, Reason>>) &
  Readonly<{ kind: string; schema: z.ZodType<Addressed>; may: Action }>

/** Two people put the same row right at the same moment: the second of them is told so, and nothing of it is kept. */
const CORRECTED_MEANWHILE = refused(
  'already-so',
  'Somebody has put this right at the same moment. Reload the page and look at what it says now.',
)
/** A client makes the ids of what it adds; a row with this one is here already. */
const HERE_ALREADY = refused('already-so', 'Something with the same number is here already. Reload the page.')
/** Foreign keys carry the business: a row of another business is as little there as one that never was. */
const NOT_HERE = refused('not-found', 'Something named in this entry is not here any more. Reload the page.')

/**
 * Makes a command of what it is called, what it takes, who may and what it does. Business, role and shape are checked here and
 * nowhere else; then it is applied once, in one transaction: the command's row and all it does, or nothing. The same id again,
 * also at the same time in another process, changes nothing and answers what the first one answered; the same id with other
 * content is refused. Errors: what `apply` throws; a refusal (`ok: false`) is a value, and everything it wrote is rolled back.
 */
export function defineCommand<Schema extends z.ZodType<Addressed>, Answer extends Applied, Beside = never>(
  spec: CommandSpec<Schema>,
  apply: (context: CommandContext, input: z.output<Schema>, beside?: Beside) => Promise<Answer>,
): Command<z.output<Schema>, ValueOf<Answer>, ReasonOf<Answer>, Beside> {
  const run = async (actor: Actor, sent: unknown, options: CommandOptions<Beside> = {}): Promise<Applied> => {
    const businessId = businessOf(sent)
    if (businessId !== undefined && businessId !== actor.businessId) return OTHER_BUSINESS
    if (!mayDo(actor.roles, spec.may)) return { ok: false, reason: 'not-allowed', words: roleWords(spec.may) }
    const parsed = spec.schema.safeParse(sent)
    if (!parsed.success) return invalid(problemsByField(parsed.error))
    return applyOnce(actor, spec, { sent, input: parsed.data }, options, (context) =>
      apply(context, parsed.data, options.beside),
    )
  }
  const { kind, schema, may } = spec
  // The answers are those of `apply` and the refusals every command has; the compiler cannot take the union apart by itself.
  return Object.assign(run as Command<z.output<Schema>, ValueOf<Answer>, ReasonOf<Answer>, Beside>, {
    kind,
    schema,
    may,
  })
}

function businessOf(sent: unknown): string | undefined {
  if (typeof sent !== 'object' || sent === null || !('businessId' in sent)) return undefined
  return typeof sent.businessId === 'string' ? sent.businessId : undefined
}

class RolledBack extends Error {
  constructor(readonly refusal: Refusal) {
    super(refusal.reason)
  }
}

async function applyOnce(
  actor: Actor,
  spec: CommandSpec<z.ZodType<Addressed>>,
  { sent, input }: { sent: unknown; input: Addressed },
  { keepRefused = false, derive = 'at-once' }: CommandOptions<unknown>,
  apply: (context: CommandContext) => Promise<Applied>,
): Promise<Applied> {
  const row = rowOf(actor, spec.kind, input, sent)
  try {
    return await inBusiness(
      actor,
      async (tx) => {
        const { count } = await tx.command.createMany({ data: [{ ...row, status: 'applied' }], skipDuplicates: true })
        if (count === 0) return earlierAnswer(tx, row)
        const madeAt = new Date(row.madeAt.getTime() + row.clockOffsetMs)
        const answer = await apply(
          contextOf({ tx, actor, commandId: row.id, madeAt, deviceSeq: row.deviceSeq, derive }),
        )
        if (!answer.ok) throw new RolledBack(answer)
        const where = { businessId_id: { businessId: actor.businessId, id: row.id } }
        await tx.command.update({ where, data: { result: answer.value } })
        const { value, once } = answer
        return { ok: true, value: once && typeof value === 'object' ? { ...value, ...once } : value }
      },
      spec.limits,
    )
  } catch (error) {
    const refusal = error instanceof RolledBack ? error.refusal : refusalOfRule(error, spec)
    if (!refusal) throw error
    if (keepRefused) {
      const refusedRow = { ...row, status: 'refused', reason: refusal.words ?? refusal.reason }
      await inBusiness(actor, (tx) => tx.command.createMany({ data: [refusedRow], skipDuplicates: true }))
    }
    return refusal
  }
}

/** What a broken rule of the database says to a person; null for what nobody can act on. */
function refusalOfRule(error: unknown, { atOnce = {} }: CommandSpec<z.ZodType<Addressed>>): Refusal | null {
  const rule = brokenRule(error)
  if (!rule) return null
  const own = Object.entries(atOnce).find(([name]) => rule.words.includes(name))?.[1]
  if (own) return own
  if (rule.kind === 'foreign-key') return NOT_HERE
  if (rule.kind === 'unique') return rule.words.includes('corrects_id') ? CORRECTED_MEANWHILE : HERE_ALREADY
  return null
}

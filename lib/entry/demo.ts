import { OperatorError } from '@/lib/platform/config/operator-error'
import { closeDatabase } from '@/lib/platform/db/client'
import { asIdentity } from '@/lib/platform/db/scope'
import { demoLogins, seedDemo } from '@/seed'

const DEMO_IN_THE_OPEN =
  'This database holds the demo business, whose password everybody knows, and this address can be reached from other machines. Start with a folder of its own (TANKROUND_DATA) or an empty database, or leave HOST and NEXTAUTH_URL at this machine.'

/**
 * Loads the demo business into a database that has no business at all (not with TANKROUND_DEMO=0).
 * Returns the lines that say how to sign in; empty lines for a database that holds real work only.
 * Its password is printed here for everybody: it is for this machine alone, and whatever others reach begins empty.
 * Errors: OperatorError where others can reach a database that holds the demo.
 */
export async function loadDemo(
  log: (line: string) => void,
  where: { onlyHere: boolean; signal?: AbortSignal },
): Promise<string> {
  const businesses = () => asIdentity((tx) => tx.business.findMany({ select: { id: true, isDemo: true } }))
  try {
    const known = await businesses()
    if (!where.onlyHere) {
      if (known.some((business) => business.isDemo)) throw new OperatorError(DEMO_IN_THE_OPEN)
      return ''
    }
    const wanted = known.length === 0 ? process.env.TANKROUND_DEMO !== '0' : known.some((business) => business.isDemo)
    if (!wanted) return ''
    if (known.length === 0) log('Loading the demo business …')
    // One that is whole already stays as it is; one that was cut off is loaded to its end.
    await seedDemo({ now: new Date(), log, ...(where.signal && { signal: where.signal }) })
    const width = Math.max(...demoLogins.map(({ role }) => role.length))
    const lines = demoLogins.map(({ role, email, password }) => `  ${role.padEnd(width)}   ${email}   ${password}`)
    return ['Sign in to the demo business as', ...lines].join('\n')
  } finally {
    await closeDatabase()
  }
}

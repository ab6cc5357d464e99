import { existsSync } from 'node:fs'
import path from 'node:path'
import { pathToFileURL } from 'node:url'
import { z } from 'zod'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { closeDatabase } from '@/lib/platform/db/client'
import { asIdentity } from '@/lib/platform/db/scope'

/** What `seed/index.ts` gives us. */
const seedModule = z.object({
  seedDemo: z.custom<(needs: { now: Date; log: (line: string) => void }) => Promise<void>>(
    (value) => typeof value === 'function',
  ),
  demoLogins: z.array(z.object({ role: z.string(), email: z.string(), password: z.string() })),
})

/**
 * Loads the demo business into a database that has no business at all (not with TANKROUND_DEMO=0).
 * Returns the lines that say how to sign in; empty lines for a database that holds real work only.
 */
export async function loadDemo(log: (line: string) => void): Promise<string> {
  const file = path.join(checkoutFolder(), 'seed', 'index.ts')
  const businesses = () => asIdentity((tx) => tx.business.findMany({ select: { id: true, isDemo: true } }))
  try {
    const known = await businesses()
    const wanted = known.length === 0 ? process.env.TANKROUND_DEMO !== '0' : known.some((business) => business.isDemo)
    if (!wanted || !existsSync(file)) return ''
    const { seedDemo, demoLogins } = seedModule.parse(await import(pathToFileURL(file).href))
    if (known.length === 0) log('Loading the demo business …')
    // One that is whole already stays as it is; one that was cut off is loaded to its end.
    await seedDemo({ now: new Date(), log })
    const width = Math.max(...demoLogins.map(({ role }) => role.length))
    const lines = demoLogins.map(({ role, email, password }) => `  ${role.padEnd(width)}   ${email}   ${password}`)
    return ['Sign in to the demo business as', ...lines].join('\n')
  } finally {
    await closeDatabase()
  }
}

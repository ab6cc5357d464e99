import { OperatorError } from '@/lib/platform/config/operator-error'
import { withDatabase } from './database'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

/** `npm run reset-owner -- EMAIL`: a one-time link for a new password, for an owner who cannot get in any more. */
await runCommand(async () => {
  const email = process.argv[2]
  if (!email) throw new OperatorError('Whose? npm run reset-owner -- EMAIL')
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const { makeOwnerResetLink } = await import('@/lib/office/people/owner-reset')
    const result = await makeOwnerResetLink(email)
    if (!result.ok) throw new OperatorError(result.words ?? result.reason)
    const address = (process.env.NEXTAUTH_URL?.trim() || `http://localhost:${process.env.PORT || 3000}`).replace(
      /\/+$/,
      '',
    )
    process.stdout.write(`${address}${result.value.path}\nIt works once and for one day. Whoever has it can use it.\n`)
  })
})

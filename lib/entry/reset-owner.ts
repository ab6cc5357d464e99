import { makeOwnerResetLink } from '@/lib/office/people/owner-reset'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { addressForLinks } from './place-of-server'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

const USAGE = `npm run reset-owner -- EMAIL

Prints a link with which an owner who cannot get in any more chooses a new password. It works once and for one day.`

/** `npm run reset-owner`: see USAGE. */
await runCommand(async () => {
  const [email] = readArguments({ usage: USAGE, options: {}, words: 1 }).positionals
  if (!email) throw new OperatorError(`Whose?\n\n${USAGE}`)
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const result = await makeOwnerResetLink(email)
    if (!result.ok) throw new OperatorError(result.words ?? result.reason)
    process.stdout.write(
      `${addressForLinks()}${result.value.path}\nIt works once and for one day. Whoever has it can use it.\n`,
    )
  })
})

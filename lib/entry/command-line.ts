import { type ParseArgsConfig, parseArgs } from 'node:util'
import { OperatorError } from '@/lib/platform/config/operator-error'

type Options = NonNullable<ParseArgsConfig['options']>

/**
 * Reads the arguments of a command line. `--help` prints `usage` and ends the process with 0; an option nobody knows, a value
 * that is missing and more words than `words` are refused. Read them before anything else is done.
 * Errors: OperatorError with the fault and the usage.
 */
export function readArguments<const T extends Options>({
  usage,
  options,
  words = 0,
}: {
  usage: string
  options: T
  /** How many arguments may come without a name, like a file. */
  words?: number
}) {
  const refuse = (fault: string) => new OperatorError(`${fault}\n\n${usage}`)
  if (process.argv.slice(2).some((word) => word === '--help' || word === '-h')) {
    process.stdout.write(`${usage}\n`)
    process.exit(0)
  }
  const parsed = parse(() => parseArgs({ options, allowPositionals: true }), refuse)
  const surplus = parsed.positionals[words]
  if (surplus !== undefined) throw refuse(`“${surplus}” is too much here.`)
  return parsed
}

function parse<R>(read: () => R, refuse: (fault: string) => OperatorError): R {
  try {
    return read()
  } catch (error) {
    if (error instanceof TypeError && 'code' in error && String(error.code).startsWith('ERR_PARSE_ARGS'))
      throw refuse(`${error.message.split(/\. |\.?\n/)[0]}.`) // without Node's advice about a lone “--”
    throw error
  }
}

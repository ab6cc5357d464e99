import { readdirSync, readFileSync, statSync } from 'node:fs'
import path from 'node:path'
import { z } from 'zod'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { readArguments } from './command-line'
import { withDatabase } from './database'
import { runImport, runUndo } from './import-records'
import { prepareDatabase } from './prepare-database'
import { runCommand } from './run-command'

const USAGE = `Bring old records:   npm run -s import -- FOLDER --business NAME [--create] [--dry-run] [--gallon us|imperial] [--mapping FILE]
Take an import back: npm run -s import -- --undo BATCH --business NAME

FOLDER holds one or more CSV files: clients, tanks, equipment, visits, each known by its header. The answer is JSON on
standard output. Exit code 0: done, also where single lines were rejected (they are in the answer); 1: nothing was written.`

type Request = {
  folder: string | undefined
  business: string | undefined
  create: boolean
  dryRun: boolean
  gallon: 'us' | 'imperial' | undefined
  mapping: string | undefined
  undo: string | undefined
}

/** `npm run -s import`: see USAGE. */
await runCommand(async () => {
  const request = readRequest()
  const files = request.undo === undefined ? readFolder(request.folder) : []
  const mapping = request.mapping === undefined ? {} : readJson(request.mapping)
  await withDatabase(async (urls) => {
    await prepareDatabase(urls)
    const answer =
      request.undo === undefined
        ? await runImport({ ...request, files, mapping, log })
        : await runUndo({ business: request.business, batchId: request.undo })
    process.stdout.write(`${JSON.stringify(answer, null, 1)}\n`)
  })
})

function log(line: string): void {
  process.stderr.write(`${line}\n`)
}

function readRequest(): Request {
  const { values, positionals } = readArguments({
    usage: USAGE,
    options: {
      business: { type: 'string' },
      create: { type: 'boolean' },
      'dry-run': { type: 'boolean' },
      gallon: { type: 'string' },
      mapping: { type: 'string' },
      undo: { type: 'string' },
    },
    words: 1,
  })
  const [folder] = positionals
  const { business, mapping, gallon, undo, create = false, 'dry-run': dryRun = false } = values
  if (gallon !== undefined && gallon !== 'us' && gallon !== 'imperial')
    throw new OperatorError(`--gallon is us or imperial, not “${gallon}”.`)
  if (undo !== undefined && !z.uuid().safeParse(undo).success)
    throw new OperatorError(`--undo wants the batch that the import answered; “${undo}” is none.`)
  if (undo === undefined && (folder === undefined || business === undefined)) throw new OperatorError(USAGE)
  if (undo !== undefined && folder !== undefined)
    throw new OperatorError('Either bring a folder or take an import back, not both.')
  return { folder, business, create, dryRun, gallon, mapping, undo }
}

/** The CSV files of a folder, or one file; anything else in the folder is left alone. */
function readFolder(folder = ''): { name: string; bytes: Uint8Array }[] {
  const place = statSync(folder, { throwIfNoEntry: false })
  if (!place) throw new OperatorError(`There is no folder “${folder}”.`)
  if (place.isFile()) return [{ name: path.basename(folder), bytes: readFileSync(folder) }]
  const names = readdirSync(folder).filter((name) => /\.(csv|tsv)$/i.test(name) && !name.startsWith('.'))
  if (names.length === 0) throw new OperatorError(`There is no CSV file in “${folder}”.`)
  return names.sort().map((name) => ({ name, bytes: readFileSync(path.join(folder, name)) }))
}

function readJson(file: string): unknown {
  if (!statSync(file, { throwIfNoEntry: false })?.isFile()) throw new OperatorError(`There is no file “${file}”.`)
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch (error) {
    throw new OperatorError(`“${file}” is not JSON: ${error instanceof Error ? error.message : String(error)}`)
  }
}

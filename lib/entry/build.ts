import { existsSync } from 'node:fs'
import path from 'node:path'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { OperatorError } from '@/lib/platform/config/operator-error'
import type { ChildProcesses } from './child-processes'
import { runPrisma } from './run-prisma'
import { hashOfFiles, hashOfSources, isStamped, writeStamp } from './sources'

/** Writes the database client from the schema when it is missing or the schema has changed. */
export async function generateClient(): Promise<void> {
  const hash = hashOfFiles('prisma/schema.prisma', 'node_modules/prisma/package.json')
  const stamp = path.join('generated', 'stamp')
  if (isStamped(stamp, hash) && existsSync(path.join(checkoutFolder(), 'generated/prisma/client.ts'))) return
  await runPrisma(['generate'])
  writeStamp(stamp, hash)
}

/** The command line of next, to run with this Node. */
export const NEXT = path.join('node_modules', 'next', 'dist', 'bin', 'next')

/** Builds the screens when a source has changed since the last build. */
export async function buildScreens(children: ChildProcesses, log: (line: string) => void): Promise<void> {
  const stamp = path.join('.next', 'tankround-build')
  const hash = hashOfSources()
  if (isStamped(stamp, hash)) return
  log('Building the screens; the first time takes a minute or two …')
  const build = children.start('build', [NEXT, 'build'], { NEXT_TELEMETRY_DISABLED: '1', NODE_ENV: 'production' })
  const code = await build.exited
  if (children.stopping) return
  if (code === 0) return writeStamp(stamp, hash)
  if (/ENOSPC|no space left/i.test(build.lastLines(40)))
    throw new OperatorError('The disk is full. Free some space and start again; nothing that was saved is lost.')
  throw new OperatorError(`The screens could not be built. The end of ${build.logFile}:\n${build.lastLines(25)}`)
}

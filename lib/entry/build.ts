import { chmodSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { OperatorError } from '@/lib/platform/config/operator-error'
import type { ChildProcesses } from './child-processes'
import { filesBelow, hashOfFiles } from './sources.mjs'

/** The command line of next, to run with this Node. */
const NEXT = path.join('node_modules', 'next', 'dist', 'bin', 'next')

/** Builds the screens when a source has changed since the last build. */
export async function buildScreens(children: ChildProcesses, log: (line: string) => void): Promise<void> {
  const stamp = path.join('.next', 'tankround-build')
  const hash = hashOfFiles(sourcesOfScreens())
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === hash) return
  log('Building the screens; the first time takes a minute or two …')
  const build = children.start('build', [NEXT, 'build'], { NEXT_TELEMETRY_DISABLED: '1', NODE_ENV: 'production' })
  const code = await build.exited
  if (children.stopping) return
  if (code === 0) {
    chmodSync('.next', 0o700) // it holds the key with which Next seals what a form carries
    return writeFileSync(stamp, hash)
  }
  if (/ENOSPC|no space left/i.test(build.lastLines(40)))
    throw new OperatorError('The disk is full. Free some space and start again; nothing that was saved is lost.')
  throw new OperatorError(`The screens could not be built. The end of ${build.logFile}:\n${build.lastLines(25)}`)
}

/** The composition roots in lib/entry are compiled by themselves. */
function sourcesOfScreens(): string[] {
  const beside = readdirSync('.').filter(
    (name) => /^[^.].*\.(ts|mjs|cjs|js|json)$/.test(name) && name !== 'next-env.d.ts',
  )
  return filesBelow(['app', 'components', 'lib', 'prisma', 'public', ...beside], [path.join('lib', 'entry')])
}

// Plain Node without dependencies: it runs before any package is there.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import path from 'node:path'

/** The folder of the checkout. */
export const checkout = path.resolve(import.meta.dirname ?? path.dirname(new URL(import.meta.url).pathname), '../..')

/** Ends with one clear line on a Node that is too old. */
export function checkNodeVersion() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
  if (major > 20 || (major === 20 && minor >= 9)) return
  console.error(`Tankround needs Node 20.9 or newer; this is ${process.version}.`)
  process.exit(1)
}

/** What the tests run with is installed for them only: a machine that just serves may do without. */
const WITH_TOOLS = ['test']
/** These put right what is not as package-lock.json says; the others, which may run beside a server, take what is there. */
const PUT_RIGHT = ['start', ...WITH_TOOLS]

/**
 * Runs `npm ci` when what the program needs is not installed.
 * @param {string} program
 */
export function installPackages(program) {
  const tools = WITH_TOOLS.includes(program)
  const installed = packagesIn(path.join(checkout, 'node_modules', '.package-lock.json'))
  if (installed && (!PUT_RIGHT.includes(program) || isAsLocked(installed, tools))) return
  console.error('Installing packages (npm ci) …')
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm'
  const args = ['ci', ...(tools ? ['--include=dev'] : []), '--no-audit', '--no-fund', '--loglevel=error']
  const { status, error } = spawnSync(npm, args, {
    cwd: checkout,
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  })
  if (status === 0) return
  console.error(
    `The packages could not be installed${error ? ` (${error.message})` : ''}. Is there a network, and space on the disk?`,
  )
  process.exit(1)
}

/** @typedef {Record<string, { version?: string, dev?: boolean, devOptional?: boolean, optional?: boolean }>} Packages */

/**
 * Is each package of package-lock.json installed in its version? Those for other platforms may lack, the tools where they are not asked for.
 * @param {Packages} installed
 * @param {boolean} tools
 */
function isAsLocked(installed, tools) {
  const wanted = packagesIn(path.join(checkout, 'package-lock.json'))
  return Object.entries(wanted ?? {}).every(([name, { version, dev, devOptional, optional }]) => {
    if (name === '' || (!tools && (dev || devOptional))) return true
    return installed[name] ? installed[name].version === version : Boolean(optional)
  })
}

/**
 * @param {string} file
 * @returns {Packages | null}
 */
function packagesIn(file) {
  if (!existsSync(file)) return null
  try {
    return JSON.parse(readFileSync(file, 'utf8')).packages
  } catch {
    return null
  }
}

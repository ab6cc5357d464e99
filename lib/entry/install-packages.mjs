// Plain Node without dependencies: it runs before any package is there.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import path from 'node:path'

/** The folder of the checkout. */
export const checkout = path.resolve(import.meta.dirname ?? path.dirname(new URL(import.meta.url).pathname), '../..')

/** Ends with one clear line on a Node that is too old. */
export function checkNodeVersion() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major > 20 || (major === 20 && minor >= 9)) return
  console.error(`Tankround needs Node 20.9 or newer; this is ${process.version}.`)
  process.exit(1)
}

/** Runs `npm ci` when what is installed is not what package-lock.json names. */
export function installPackages() {
  if (isInstalled()) return
  console.error('Installing packages (npm ci) …')
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm'
  const { status, error } = spawnSync(npm, ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'], {
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

/** Compares package-lock.json with the list npm keeps of what it installed; packages for other platforms may lack. */
function isInstalled() {
  const installed = packagesIn(path.join(checkout, 'node_modules', '.package-lock.json'))
  const wanted = packagesIn(path.join(checkout, 'package-lock.json'))
  if (!installed || !wanted) return false
  return Object.entries(wanted).every(
    ([name, { version, optional }]) =>
      name === '' || (installed[name] ? installed[name].version === version : optional),
  )
}

function packagesIn(file) {
  if (!existsSync(file)) return null
  try {
    return JSON.parse(readFileSync(file, 'utf8')).packages
  } catch {
    return null
  }
}

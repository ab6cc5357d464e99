// Plain Node: makes from our TypeScript what Node runs by itself. It runs before anything of ours can.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { filesBelow, hashOfFiles } from './sources.mjs'

/** Each is a file of this folder that begins by itself. The web server and the worker are started by `start`. */
export const PROGRAMS = [
  ...['start', 'web', 'worker', 'test', 'dev-database'],
  ...['migrate', 'load-demo', 'import', 'estimates', 'rebuild', 'backup', 'restore', 'reset-owner', 'calibrate'],
]

/** What a thread anywhere in lib begins with. */
const THREAD = /^import \{[^}]*\bparentPort\b[^}]*\} from 'node:worker_threads'/m

const FOLDER = '.build'
/** Programs of earlier sources are kept for processes that still run them: these many. */
const KEPT = 3

/**
 * Compiles every program and thread of the present sources (the working folder is the checkout) and says in which folder they lie:
 * one a state of the sources, so that who runs an older one keeps it, and two who compile at once do not meet.
 * Writes the database client first where the schema has changed.
 * @returns {Promise<string>} the folder: `NAME.js` for each program and thread
 */
export async function compilePrograms() {
  generateClient()
  const sources = filesBelow(['lib', 'seed', 'prisma/schema.prisma', 'package-lock.json', 'tsconfig.json'])
  const folder = path.resolve(FOLDER, hashOfFiles(sources).slice(0, 16))
  if (existsSync(folder)) return folder
  const half = `${folder}.${process.pid}`
  const { build } = await import('esbuild')
  try {
    await build({
      ...COMPILED_AS,
      entryPoints: [...PROGRAMS.map((name) => `lib/entry/${name}.ts`), ...sources.filter(isThread)],
      outdir: half,
    })
    renameSync(half, folder)
  } catch (error) {
    if (!existsSync(folder)) throw error // else somebody else was quicker
  } finally {
    rmSync(half, { recursive: true, force: true })
  }
  forgetOld()
  return folder
}

/**
 * How programs are compiled: packages stay outside, as they are installed; our own code and what `server-only` means are settled now.
 * @satisfies {import('esbuild').BuildOptions}
 */
const COMPILED_AS = {
  bundle: true,
  splitting: true,
  format: /** @type {const} */ ('esm'),
  platform: /** @type {const} */ ('node'),
  target: 'node20',
  packages: /** @type {const} */ ('external'),
  conditions: ['react-server'],
  alias: { 'server-only': './node_modules/server-only/empty.js' },
  entryNames: '[name]',
  sourcemap: /** @type {const} */ ('linked'),
  logLevel: /** @type {const} */ ('warning'),
}

/** @param {string} file */
const isThread = (file) => file.endsWith('.ts') && THREAD.test(readFileSync(file, 'utf8'))

/** Writes the database client from the schema when it is missing or the schema has changed. */
function generateClient() {
  const hash = hashOfFiles(['prisma/schema.prisma', 'node_modules/prisma/package.json'])
  const stamp = 'generated/stamp'
  const isThere = existsSync('generated/prisma/client.ts') && existsSync(stamp)
  if (isThere && readFileSync(stamp, 'utf8') === hash) return
  const { status, stdout, stderr } = spawnSync(process.execPath, ['node_modules/prisma/build/index.js', 'generate'], {
    encoding: 'utf8',
    env: {
      ...process.env,
      DATABASE_URL: 'postgresql://127.0.0.1/none', // the schema names it; nothing is connected to
      CHECKPOINT_DISABLE: '1',
      PRISMA_HIDE_UPDATE_MESSAGE: '1',
      NODE_OPTIONS: '',
    },
  })
  if (status !== 0) throw new Error(`The database client could not be made:\n${stdout}${stderr}`)
  mkdirSync('generated', { recursive: true })
  writeFileSync(stamp, hash)
}

function forgetOld() {
  const made = readdirSync(FOLDER)
    .map((name) => path.join(FOLDER, name))
    .map((folder) => ({ folder, at: statSync(folder).mtimeMs }))
    .sort((a, b) => b.at - a.at)
  for (const { folder } of made.slice(KEPT)) rmSync(folder, { recursive: true, force: true })
}

import { spawn } from 'node:child_process'
import path from 'node:path'
import { checkoutFolder } from '@/lib/platform/config/data-folder'

/** The schema names DATABASE_URL, so prisma wants to see one even where it connects to nothing. */
const NO_DATABASE = 'postgresql://127.0.0.1/none'

/** Runs the prisma command line; its output is shown only when it fails. */
export async function runPrisma(args: string[], env: Record<string, string> = {}): Promise<void> {
  const command = path.join(checkoutFolder(), 'node_modules', 'prisma', 'build', 'index.js')
  const child = spawn(process.execPath, [command, ...args], {
    cwd: checkoutFolder(),
    env: {
      DATABASE_URL: NO_DATABASE,
      ...process.env,
      CHECKPOINT_DISABLE: '1',
      PRISMA_HIDE_UPDATE_MESSAGE: '1',
      NODE_OPTIONS: '',
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let output = ''
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (output += chunk))
  const code = await new Promise<number | null>((resolve, reject) => {
    child.once('error', reject)
    child.once('close', resolve)
  })
  if (code !== 0) throw new Error(`prisma ${args.join(' ')} failed:\n${output.trim()}`)
}

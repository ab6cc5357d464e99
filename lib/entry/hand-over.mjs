// Plain Node: starts a TypeScript entry as a child and lives exactly as long as it.
import { spawn } from 'node:child_process'

/** Runs lib/entry/<name>.ts with our arguments; ends with its exit code. */
export function handOver(name, args = []) {
  const child = spawn(
    process.execPath,
    ['--conditions=react-server', '--import', 'tsx', `lib/entry/${name}.ts`, ...args],
    {
      stdio: ['inherit', 'inherit', 'inherit', 'ipc'], // the channel tells the child when we are gone
    },
  )
  // Ctrl-C reaches the child by itself (one terminal group); it stops in its own order and we wait for it.
  process.on('SIGINT', () => undefined)
  for (const signal of ['SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
  // npm runs us in a shell that does not pass on the end of npm: when our parent is gone, so should we be.
  const parent = process.ppid
  const watch = process.env.npm_lifecycle_event
    ? setInterval(() => process.ppid === parent || child.kill('SIGTERM'), 500)
    : undefined
  child.on('exit', (code, signal) => {
    clearInterval(watch)
    process.exit(code ?? (signal ? 1 : 0))
  })
}

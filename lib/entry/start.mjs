// `npm start`: makes sure that Node and the packages are right, then hands over to start.ts.
import { spawn } from 'node:child_process'
import { checkNodeVersion, checkout, installPackages } from './install-packages.mjs'

checkNodeVersion()
process.chdir(checkout)
installPackages()

const child = spawn(process.execPath, ['--conditions=react-server', '--import', 'tsx', 'lib/entry/start.ts'], {
  stdio: 'inherit',
})
// Ctrl-C reaches the child by itself (one terminal group); it stops in its own order and we wait for it.
process.on('SIGINT', () => undefined)
for (const signal of ['SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
child.on('exit', (code, signal) => process.exit(code ?? (signal ? 1 : 0)))

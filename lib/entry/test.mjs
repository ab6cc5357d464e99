// `npm test`: makes sure that Node and the packages are right, then hands over to test.ts.
import { spawn } from 'node:child_process'
import { checkNodeVersion, checkout, installPackages } from './install-packages.mjs'

checkNodeVersion()
process.chdir(checkout)
installPackages()

const child = spawn(
  process.execPath,
  ['--conditions=react-server', '--import', 'tsx', 'lib/entry/test.ts', ...process.argv.slice(2)],
  { stdio: 'inherit' },
)
process.on('SIGINT', () => undefined)
process.on('SIGTERM', () => child.kill('SIGTERM'))
child.on('exit', (code) => process.exit(code ?? 1))

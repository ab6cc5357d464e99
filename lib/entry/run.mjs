// `node lib/entry/run.mjs NAME …` (what `npm start`, `npm test` and every command line call): sees to Node, the packages and the
// compiled programs, then becomes the program NAME. Plain Node without dependencies: it runs before any package is there.
import path from 'node:path'
import { pathToFileURL } from 'node:url'
import { checkNodeVersion, checkout, installPackages } from './install-packages.mjs'

const [, , name = '', ...args] = process.argv
checkNodeVersion()
process.chdir(checkout)
installPackages(name)
process.setSourceMapsEnabled(true) // a fault names the line of the source
const { compilePrograms, PROGRAMS } = await import('./compile-programs.mjs')
if (!PROGRAMS.includes(name)) {
  console.error(`There is no program “${name}”. There are: ${PROGRAMS.join(', ')}.`)
  process.exit(1)
}
process.env.TANKROUND_AT_TERMINAL = '1' // the log then is for what went wrong; its children write files
process.env.TANKROUND_PROGRAMS = await compilePrograms()
const file = path.join(process.env.TANKROUND_PROGRAMS, `${name}.js`)
process.argv = [process.execPath, file, ...args]
await import(pathToFileURL(file).href)

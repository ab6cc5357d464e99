// `npm start`: makes sure that Node and the packages are right, then hands over to start.ts.
import { handOver } from './hand-over.mjs'
import { checkNodeVersion, checkout, installPackages } from './install-packages.mjs'

checkNodeVersion()
process.chdir(checkout)
installPackages()
handOver('start')

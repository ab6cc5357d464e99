// `npm test`: makes sure that Node and the packages are right, then hands over to test.ts.
import { handOver } from './hand-over.mjs'
import { checkNodeVersion, checkout, installPackages } from './install-packages.mjs'

checkNodeVersion()
process.chdir(checkout)
installPackages()
handOver('test', process.argv.slice(2))

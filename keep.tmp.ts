import { writeFileSync } from 'node:fs'
import { startProgram, signIn } from './tests/bench/screens/running-program'
import { BENCH_LOGINS } from './tests/bench/business-at-work'
const at = (u: string) => u.replace(/\/tankround$/, '/bench_screens_3000_20261130')
const urls = { ownerUrl: at(process.env.DATABASE_URL!), appUrl: at(process.env.APP_DATABASE_URL!), identityUrl: at(process.env.IDENTITY_DATABASE_URL!) }
const program = await startProgram(urls)
const roles = Object.keys(BENCH_LOGINS) as (keyof typeof BENCH_LOGINS)[]
const cookies = await signIn(program.address, roles.map((r) => BENCH_LOGINS[r]))
writeFileSync('/tmp/kept.json', JSON.stringify({ address: program.address, cookies: Object.fromEntries(roles.map((r, i) => [r, cookies[i]])) }))
console.log('ready', program.address)
process.on('SIGINT', async () => { await program.stop(); process.exit(0) })
setInterval(() => undefined, 1000)

/**
 * Keeps a site with the demo business up while browser tests are written; ends it at Ctrl-C. By hand:
 *   node --import ./lib/entry/set-programs.mjs --conditions=react-server --import tsx tests/browser/keep-site.ts .cache/site.json
 *   TANKROUND_TEST_SITE=.cache/site.json npx vitest run --project browser
 */
import { writeFileSync } from 'node:fs'
import type { TestProject } from 'vitest/node'
import setUp from './setup'

const [, , file = '.cache/site.json'] = process.argv
// setUp asks nothing of the project but to hand the site on.
const project = { provide: (_key: 'site', site: unknown) => writeFileSync(file, JSON.stringify(site)) }
const tearDown = await setUp(project as unknown as TestProject)
process.stdout.write(`The site is up; ${file} says where.\n`)
const wait = setInterval(() => undefined, 60_000)
for (const signal of ['SIGINT', 'SIGTERM'] as const)
  process.once(signal, () => {
    clearInterval(wait)
    void tearDown().then(() => process.exit(0))
  })

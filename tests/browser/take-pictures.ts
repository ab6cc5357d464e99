/**
 * Pictures of a running demo to look at: every main screen in both sizes and colours into .cache/pictures, and the lanes of
 * the README into docs/images. By hand:
 *   node --conditions=react-server --import tsx tests/browser/take-pictures.ts http://localhost:3000 [part of a route …]
 */
import { mkdirSync } from 'node:fs'
import path from 'node:path'
import type { Page } from 'playwright-core'
import { findChromium } from '@/lib/entry/find-chromium'
import { DESK_DARK, DESK_LIGHT, PHONE_DARK, PHONE_LIGHT, show } from './check-page'
import { openBrowser } from './open-browser'
import { openSessions } from './people'
import { ROUTE_TABLE } from './route-table'

const FOLDER = '.cache/pictures'
const SIGHTS = [PHONE_LIGHT, PHONE_DARK, DESK_LIGHT, DESK_DARK]

const [, , baseURL, ...parts] = process.argv
if (!baseURL) throw new Error('Say where the demo runs, for example http://localhost:3000')
const chromium = findChromium()
if (!chromium) throw new Error('There is no Chromium; set CHROME_PATH.')
const browser = await openBrowser(chromium)
try {
  mkdirSync(FOLDER, { recursive: true })
  const sessions = await openSessions(browser, { baseURL })
  for (const [pattern, { roles, find, main, leadsTo }] of Object.entries(ROUTE_TABLE)) {
    const isWanted = parts.length > 0 ? parts.some((part) => pattern.includes(part)) : main && !leadsTo
    const [as] = roles
    if (!isWanted || !as) continue
    const page = await sessions[as].newPage()
    await page.goto((await find?.(sessions)) ?? pattern, { waitUntil: 'networkidle' })
    const name = pattern.slice(1).replaceAll(/[[\]]/g, '').replaceAll('/', '-')
    for (const sight of SIGHTS) {
      await show(page, sight)
      const file = `${name}.${sight.name.replace(', ', '-')}.png`
      await page.screenshot({ path: path.join(FOLDER, file), fullPage: true })
    }
    if (pattern === '/tanks/[tankId]') await takeLanes(page)
    await page.close()
    process.stdout.write(`${pattern}\n`)
  }
} finally {
  await browser.close()
}

/** The chart of a tank's page with the paper around it, without what opens below. */
async function takeLanes(page: Page): Promise<void> {
  await show(page, DESK_LIGHT)
  const chart = await page.locator('#lanes > figure').boundingBox()
  const legend = await page.locator('#lanes > figure > .lanes-legend').boundingBox()
  if (!chart || !legend) throw new Error('The tank shows no lanes.')
  mkdirSync('docs/images', { recursive: true })
  const margin = 14
  const clip = {
    x: chart.x - margin,
    y: chart.y - margin / 2,
    width: chart.width + 2 * margin,
    height: legend.y + legend.height - chart.y + margin,
  }
  await page.screenshot({ path: 'docs/images/lanes.png', clip, fullPage: true })
}

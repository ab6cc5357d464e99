import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { DESK, PHONE } from './open-browser'

/** WCAG 2.0, 2.1 and 2.2, levels A and AA, as axe names them. */
const STANDARDS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']

export type Sight = { name: string; viewport: typeof DESK; colorScheme: 'light' | 'dark' }
export const PHONE_LIGHT: Sight = { name: 'phone, light', viewport: PHONE, colorScheme: 'light' }
export const PHONE_DARK: Sight = { name: 'phone, dark', viewport: PHONE, colorScheme: 'dark' }
export const DESK_LIGHT: Sight = { name: 'desk, light', viewport: DESK, colorScheme: 'light' }
export const DESK_DARK: Sight = { name: 'desk, dark', viewport: DESK, colorScheme: 'dark' }

/** Shows the open page at another size and in other colours; the page itself is not loaded again. */
export async function show(page: Page, { viewport, colorScheme }: Sight): Promise<void> {
  await page.setViewportSize(viewport)
  await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' })
}

/**
 * What axe finds wrong with the page as it is shown, one line for each rule with the first few places. `only` names the
 * rules where not all are asked.
 */
export async function accessibilityFaults(page: Page, only?: string[]): Promise<string[]> {
  const axe = new AxeBuilder({ page }).options({ resultTypes: ['violations'] }).setLegacyMode()
  const { violations } = await (only ? axe.withRules(only) : axe.withTags(STANDARDS)).analyze()
  return violations.map(({ id, help, nodes }) => {
    const places = nodes.slice(0, 3).map((node) => `${node.target.join(' ')} ${node.html.slice(0, 120)}`)
    return `${id}: ${help} (${nodes.length}): ${places.join(' | ')}`
  })
}

/** Rows of a table that are looked at; the ones after them are made by the same code. */
const ROWS_LOOKED_AT = 25

/**
 * Hides rows of long tables, but for the first ones and those that stand out. axe needs seconds for a hundred. The rows
 * stay: on a busy machine React may still be taking over the page, and a row that is gone is an error to it.
 */
export function shortenTables(page: Page): Promise<void> {
  return page.evaluate((most) => {
    for (const body of document.querySelectorAll('tbody'))
      for (const row of [...body.rows].slice(most)) if (!row.dataset.tone) row.style.display = 'none'
  }, ROWS_LOOKED_AT)
}

/** By how many pixels the page is wider than its window; scrolling sideways is then needed (WCAG 2.2, 1.4.10 Reflow). */
export function sidewaysPixels(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
}

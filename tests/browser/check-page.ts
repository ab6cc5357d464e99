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

/** What axe finds wrong with the page as it is shown, one line for each rule with the first few places. */
export async function accessibilityFaults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).withTags(STANDARDS).setLegacyMode().analyze()
  return violations.map(({ id, help, nodes }) => {
    const places = nodes.slice(0, 3).map((node) => `${node.target.join(' ')} ${node.html.slice(0, 120)}`)
    return `${id}: ${help} (${nodes.length}): ${places.join(' | ')}`
  })
}

/** By how many pixels the page is wider than its window; scrolling sideways is then needed (WCAG 2.2, 1.4.10 Reflow). */
export function sidewaysPixels(page: Page): Promise<number> {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
}

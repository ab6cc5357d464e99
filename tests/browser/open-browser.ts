import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { inject } from 'vitest'

/** What keeps a headless Chromium quiet and working inside a container. */
const ARGUMENTS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** The two sizes every screen is looked at in. */
export const DESK = { width: 1280, height: 900 }
export const PHONE = { width: 390, height: 844 }

/** How long a page may take to show what a test looks for; a shared machine may be slow. */
const WAIT_MS = 20_000

/** Starts the browser of this machine; close it in `afterAll`. */
export function openBrowser(executablePath = inject('site').chromium): Promise<Browser> {
  return chromium.launch({ executablePath, args: ARGUMENTS })
}

/** A page in a fresh, signed-out session; paths are relative to the running Tankround, or to `baseURL`. */
export async function openPage(browser: Browser, options: BrowserContextOptions = {}): Promise<Page> {
  const baseURL = options.baseURL ?? inject('site').address
  const context = await browser.newContext({ viewport: DESK, ...options, baseURL })
  context.setDefaultTimeout(WAIT_MS)
  return context.newPage()
}

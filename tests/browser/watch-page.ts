import type { Page } from 'playwright-core'

/** What this machine is called to itself: nothing may be asked of any other. */
const HERE = new Set(['127.0.0.1', 'localhost', '[::1]'])

/** Writes down what a browser complains about from now on: errors of scripts and of the console, failed and foreign requests. */
export function watchPage(page: Page): { complaints: string[] } {
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(`script: ${error.message}`))
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`console: ${message.text()} ${message.location().url}`)
  })
  page.on('request', (request) => {
    const url = new URL(request.url())
    if (url.protocol !== 'data:' && url.protocol !== 'blob:' && !HERE.has(url.hostname))
      complaints.push(`leaves this machine: ${url.href}`)
  })
  page.on('requestfailed', (request) => {
    const reason = request.failure()?.errorText ?? ''
    // The browser drops what it no longer needs when one goes on to another page.
    if (reason !== 'net::ERR_ABORTED') complaints.push(`failed: ${request.url()} ${reason}`)
  })
  page.on('response', (response) => {
    if (response.status() >= 400) complaints.push(`answered ${response.status()}: ${response.url()}`)
  })
  return { complaints }
}

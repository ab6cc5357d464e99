import type { Page } from 'playwright-core'

/**
 * The owner books a visit to a tank with the demo's first technician for today, through the form. On a weekend, or late in the evening, the demo itself has none that is
 * still to come. Gives the day that the form proposed: a look at that day's route finds it also after midnight.
 */
export async function bookForTechnician(owner: Page, tankId: string, whatFor: string): Promise<{ day: string }> {
  await owner.goto(`/plan/book?tank=${tankId}`)
  await owner.getByLabel('Who goes').selectOption({ label: 'Priya Lennox' })
  await owner.waitForURL(/technician=[0-9a-f-]{36}/)
  const day = await owner.getByLabel('Day', { exact: true }).inputValue()
  await owner.getByLabel('What for').fill(whatFor)
  await owner.getByRole('button', { name: 'Book it' }).click()
  await owner.waitForURL(/said=booked/)
  return { day }
}

/** The address of that visit, as the technician finds it on the route. */
export async function stopOnRoute(technician: Page, day: string, whatFor: string): Promise<string> {
  await technician.goto(`/route?day=${day}`)
  const stop = technician.locator('li').filter({ hasText: whatFor }).locator('a[href^="/visits/"]').first()
  return (await stop.getAttribute('href')) ?? ''
}

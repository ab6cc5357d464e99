// The names a screen shows: the catalogue's, in the trade words of the country, and the business's own for what the catalogue does not know.
import { expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { ownNames } from '@/lib/office/due/queries'
import { taskName } from '@/lib/office/lanes/due-items'
import { classWords, modeWords } from '@/lib/office/lanes/lane-views'
import { findVisitPage } from '@/lib/office/visits/queries'
import { testDatabase } from '../../setup/database'
import { look, makeBusiness, makeClient, makeSite, makeTank, makeVisit } from '../clients/register'

const NOW = new Date('2026-11-25T11:00:00Z')

async function world(country: string) {
  await testDatabase()
  const owner = await makeBusiness(`Business in ${country}`)
  const tankId = await makeTank(owner, await makeSite(owner, await makeClient(owner, { name: 'Port Ellery School' })))
  const visitId = await makeVisit(owner, tankId, '2026-11-25', 'booked')
  await look(owner, async (tx) => {
    await tx.business.updateMany({ data: { country } })
    for (const [slug, name] of [
      ['own:gnawed cable', 'Gnawed cable'],
      ['external-filter/impeller-scale', 'rotor scale'],
    ] as const)
      await tx.catalogueOverlay.create({
        data: {
          businessId: owner.businessId,
          id: newId(),
          kind: 'mode',
          slug,
          equipmentClass: 'external-filter',
          name,
        },
      })
  })
  const names = await look(owner, (tx) => ownNames(tx, owner.businessId))
  return { page: await findVisitPage(owner, visitId, NOW), names }
}

test.each([
  ['GB', 'External filter', 'Auto top-up', 'Fuse board, isolator', /Off at the fuse board or isolator/],
  ['US', 'Canister filter', 'Auto top-off', 'Panel, breaker', /Off at the panel or breaker/],
])('%s', async (country, filter, topUp, isolator, leak) => {
  const { page, names } = await world(country)
  expect([classWords('external-filter', names), classWords('auto-top-up', names)]).toEqual([filter, topUp])
  expect(page?.arrive.isolatorWords).toBe(isolator)
  expect(page?.cautions.leak.join(' ')).toMatch(leak)
  expect(taskName('heater/replace', names)).toBe('Replace the heater')
  // Its own words name what only it knows; what the catalogue knows has the catalogue's name.
  expect(modeWords('own:gnawed cable', names)).toBe('Gnawed cable')
  expect(modeWords('external-filter/impeller-scale', names)).toBe('Film or scale on the impeller')
})

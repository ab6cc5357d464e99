import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { matches } from './app-routes'
import { RETRIES, type Visitor } from './people'
import { ROUTE_TABLE, type Sessions } from './route-table'

export type FoundForm = { name: string; about: string; address: string; visitor: Visitor }

/** The names of all forms, read from the code: of `<Form>`, `<Step>`, `<PlanForm>` and, by their kind, `<VisitForm>`. */
export function namesInCode(): string[] {
  const files = ['app', 'components'].flatMap((room) =>
    readdirSync(room, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.tsx'))
      .map((name) => path.join(room, name)),
  )
  const names = files.flatMap((file) => {
    const text = readFileSync(file, 'utf8')
    return [...text.matchAll(/<(?:Form|Step|VisitForm|PlanForm)\b/g)].flatMap(({ index }) => {
      const [, words = '', choice = ''] =
        /\s(?:name|kind)=(?:"([^"]+)"|\{(.+)\}$)/m.exec(text.slice(index, index + 400)) ?? []
      if (words !== '') return [words]
      return [...choice.matchAll(/['`]([^'`]+)['`]/g)].map(([, name = '']) => name)
    })
  })
  const spelled = names.flatMap((name) =>
    name.startsWith('$') ? ['clients', 'sites', 'tanks'].map((things) => name.replace(/^\$\{things\}/, things)) : name,
  )
  return [...new Set(spelled)].sort()
}

/** All forms of one page as somebody sees it; those that ask by address (GET) are none of ours. */
function formsIn(html: string): { name: string | null; about: string }[] {
  const attribute = (tag: string, name: string) => new RegExp(`\\b${name}="([^"]*)"`).exec(tag)?.[1]
  return [...html.matchAll(/<form\b[^>]*>/g)].flatMap(([tag]) =>
    attribute(tag, 'method') === 'get'
      ? []
      : { name: attribute(tag, 'data-form') ?? null, about: attribute(tag, 'data-about') ?? '' },
  )
}

/** Walks every page as everybody who may see it, and a few further on, and lists every form there. */
export async function walkForms(sessions: Sessions): Promise<{ forms: FoundForm[]; faults: string[] }> {
  const forms: FoundForm[] = []
  const faults: string[] = []
  const seen = new Set<string>()
  async function look(visitor: Visitor, address: string): Promise<string> {
    if (seen.has(`${visitor} ${address}`)) return ''
    seen.add(`${visitor} ${address}`)
    const response = await sessions[visitor].request.get(address, { maxRetries: RETRIES })
    if (response.status() !== 200) return ''
    const html = await response.text()
    const here = formsIn(html.slice(0, html.lastIndexOf('</body>')))
    for (const { name, about } of here) {
      if (name === null) faults.push(`${address}: a form without a name`)
      else forms.push({ name, about, address, visitor })
    }
    const keys = here.map(({ name, about }) => `${name} ${about}`).filter((key) => !key.startsWith('sign-out'))
    const twice = keys.filter((key, place) => keys.indexOf(key) !== place)
    if (twice.length > 0)
      faults.push(`${address}: two forms with the same words kept: ${[...new Set(twice)].join(', ')}`)
    return html
  }
  for (const [pattern, entry] of Object.entries(ROUTE_TABLE)) {
    if (entry.leadsTo) continue
    const address = (await entry.find?.(sessions)) ?? pattern
    const pages = await Promise.all(entry.roles.map((visitor) => look(visitor, address)))
    const [visitor] = entry.roles
    const [html = ''] = pages
    if (visitor) {
      // One step on from each list, to what has no place in the table: other states of the same page.
      const links = [...html.matchAll(/href="(\/[^"#]*)"/g)].map(([, href = '']) => href.replaceAll('&amp;', '&'))
      const further = links.filter((href) => FURTHER.some((kind) => matches(kind, href.split('?')[0] ?? '')))
      for (const href of [...new Set(further)].slice(0, FURTHER_MOST)) await look(visitor, href)
    }
  }
  // A tank whose client is shown pictures has a page of photos with something on it.
  const record = (await ROUTE_TABLE['/our-tanks/[tankId]']?.find?.(sessions)) ?? ''
  await look('owner', `/tanks/${record.split('/')[2]}/photos`)
  await look('owner', await addPerson(sessions))
  // What somebody was told stands behind what they said, the end of a search for a cause behind its taps.
  const called = (await ROUTE_TABLE['/calls/[tankId]']?.find?.(sessions)) ?? ''
  await look('technician', `${called}?sign=gasping`)
  const search = (await ROUTE_TABLE['/visits/[visitId]/find']?.find?.(sessions)) ?? ''
  const moves = JSON.stringify([{ did: 'found', cause: 'not-found' }])
  await look('technician', `${search}?${new URLSearchParams({ sign: 'cloudy-water', moves })}`)
  return { forms, faults }
}

/** Somebody new, who has no sign-in yet: the address of their page. */
async function addPerson(sessions: Sessions): Promise<string> {
  const page = await sessions.owner.newPage()
  try {
    await page.goto('/people/new')
    await page.getByLabel('Name').fill('Wren Tolliver')
    await page.getByRole('button', { name: 'Add this person' }).click()
    await page.waitForURL((url) => matches('/people/[personId]', url.pathname) && url.pathname !== '/people/new')
    return new URL(page.url()).pathname
  } finally {
    await page.close()
  }
}

/** Pages that look different from one to the next. */
const FURTHER = [
  '/plan/book',
  '/plan/visits/[visitId]',
  '/money/[invoiceId]',
  '/visits/[visitId]',
  '/people/[personId]',
  '/tanks/[tankId]/equipment/[equipmentId]',
  '/tanks/[tankId]/refills/[reservoirId]',
]
const FURTHER_MOST = 4

/** Clients and their sites, from the rows of a client file. Pure. */

import { parseNumber } from '../frame/numbers'
import { plainWords } from '../frame/plain-words'
import { clientKey, nameKey, siteKey, tidy } from './keys'
import { parsePaymentTerms } from './payment-terms'
import type { ExistingRecords, PlannedClient, PlannedSite } from './plan-types'
import type { ReadFile, Row } from './read-files'
import type { Findings } from './report'
import { type Candidate, settleRepeats } from './settle-repeats'

type ClientRow = { client: Omit<PlannedClient, 'source'>; site: PlannedSite }

const E_MAIL = /^[^\s@,;]+@[^\s@,;]+$/

/** One mark is a decimal one, whatever the file uses elsewhere: coordinates have no thousands. */
function coordinate(text: string, limit: number): number | null | 'wrong' {
  const bare = text.trim()
  if (bare === '') return null
  const value = parseNumber(bare, bare.includes(',') ? ',' : '.')
  return value === null || Math.abs(value) > limit ? 'wrong' : value
}

function readClient(row: Row): { ok: true; value: ClientRow } | { ok: false; reasons: string[] } {
  const reasons: string[] = []
  const name = tidy(row.get('name'))
  if (name === '') reasons.push('the client has no name')
  const email = tidy(row.get('email'))
  if (email !== '' && !E_MAIL.test(email)) reasons.push(`“${email}” is not an e-mail address`)
  const terms = parsePaymentTerms(row.get('terms'))
  if (!terms.ok) reasons.push(terms.reason)
  const latitude = coordinate(row.get('lat'), 90)
  const longitude = coordinate(row.get('lon'), 180)
  if (latitude === 'wrong') reasons.push(`“${row.get('lat').trim()}” is not a latitude (−90 to 90 degrees)`)
  if (longitude === 'wrong') reasons.push(`“${row.get('lon').trim()}” is not a longitude (−180 to 180 degrees)`)
  if ((latitude === null) !== (longitude === null))
    reasons.push('latitude and longitude only count together, and one is missing')
  if (reasons.length > 0 || !terms.ok || latitude === 'wrong' || longitude === 'wrong') return { ok: false, reasons }
  const key = clientKey(name)
  const address = tidy(row.get('address')) || null
  const phone = tidy(row.get('phone')) || null
  return {
    ok: true,
    value: {
      client: { key, name, email: email || null, phone, paymentDays: terms.paymentDays },
      site: {
        key: siteKey(key, address),
        clientKey: key,
        address,
        latitude,
        longitude,
        source: { file: row.file, line: row.line },
      },
    },
  }
}

const contentOf = ({ client, site }: ClientRow) => ({
  'e-mail': client.email?.toLowerCase() ?? '',
  telephone: client.phone?.replace(/[\s()./-]/g, '') ?? '',
  'payment terms': client.paymentDays === null ? '' : String(client.paymentDays),
  latitude: site.latitude === null ? '' : String(site.latitude),
  longitude: site.longitude === null ? '' : String(site.longitude),
})

/**
 * A client is known by name, a site by its address: a second line with another address is a second site of that client.
 * A line about a site that is known and says otherwise is rejected; one that says nothing new is a repeat.
 */
export function planClients(files: readonly ReadFile[], existing: ExistingRecords, findings: Findings) {
  const candidates: Candidate<ClientRow>[] = []
  for (const file of files)
    for (const row of file.rows) {
      const read = readClient(row)
      if (!read.ok) {
        findings.reject('clients', row, read.reasons)
        findings.refusedNames.clients.add(nameKey(row.get('name')))
        continue
      }
      const { value } = read
      const spelling = `${value.client.name}\n${value.site.address ?? ''}`
      candidates.push({
        value,
        file: row.file,
        line: row.line,
        identity: value.site.key,
        content: contentOf(value),
        spelling,
      })
    }
  const settled = settleRepeats(candidates)
  for (const _ of settled.repeated) findings.repeat('clients')
  for (const { candidate, kept, labels } of settled.contradicting)
    findings.reject('clients', candidate, [
      `“${candidate.value.client.name}” is also on line ${kept.line} with another ${labels.join(' and ')}`,
    ])

  const knownClients = new Set(existing.clients.map((client) => client.key))
  const knownSites = new Set(existing.sites.map((site) => site.key))
  const clients = new Map<string, PlannedClient>()
  const sites: PlannedSite[] = []
  for (const kept of settleRepeats(settled.kept.map((each) => ({ ...each, identity: each.value.client.key }))).kept)
    if (!knownClients.has(kept.identity))
      clients.set(kept.identity, { ...kept.value.client, source: { file: kept.file, line: kept.line } })
  for (const kept of settled.kept) {
    const { client, site } = kept.value
    const nothingNew = knownClients.has(client.key) && (site.address === null || knownSites.has(site.key))
    if (nothingNew) {
      findings.repeat('clients')
      continue
    }
    findings.add('clients')
    sites.push(site)
    const chosen = clients.get(client.key)
    const differs =
      chosen &&
      (['email', 'phone', 'paymentDays'] as const).some(
        (field) => client[field] !== null && plainWords(String(client[field])) !== plainWords(String(chosen[field])),
      )
    if (differs)
      findings.warn(
        kept,
        `“${client.name}” has another site on line ${chosen.source.line}; e-mail, telephone and terms are those of that line`,
      )
  }
  return { clients: [...clients.values()], sites }
}

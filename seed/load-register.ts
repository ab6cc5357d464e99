import { addClient, addSite } from '@/lib/office/clients/commands'
import { EMPTY_CLIENT, EMPTY_SITE } from '@/lib/office/clients/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { addPriceItem } from '@/lib/office/money/commands'
import { changeBusinessSettings, changeCosts } from '@/lib/office/settings/commands'
import { businessSettingsSchema } from '@/lib/office/settings/schema'
import { addAgreement, addTank } from '@/lib/office/tanks/commands'
import { EMPTY_TANK } from '@/lib/office/tanks/schema'
import { demoId } from './demo-ids'
import { tankSurroundings } from './drivers'
import { applied, fewAtATime } from './expect'
import { BUSINESS_NAME, OWNER, TIME_ZONE, TOWN } from './names'
import { type DemoClient, type DemoTank, type Register, siteName } from './plan-register'
import { DEMO_PRICES } from './price-list'

/** What stands on invoices, what things cost us, and the price list. Answers the prices' ids by their key. */
export async function loadSettings(owner: Actor, nowMs: number, since: string): Promise<Map<string, string>> {
  const { businessId } = owner
  const own = {
    commandId: demoId(nowMs, 'settings'),
    businessId,
    name: BUSINESS_NAME,
    legalName: `${BUSINESS_NAME} Ltd`,
  }
  const place = { address: '3 Harbour Lane', postcode: 'PE1 4HL', city: TOWN, country: 'GB' }
  const reached = { email: OWNER.email, phone: '01632 960100', taxNumber: 'GB000000000', iban: DEMO_IBAN, bic: '' }
  const written = {
    currency: 'GBP',
    locale: 'en-GB',
    timeZone: TIME_ZONE,
    volumeUnit: 'L',
    gallon: 'imperial',
  } as const
  const billed = { paymentTermsDays: 14, defaultTaxCategory: 'S', defaultTaxRate: '20' } as const
  const prefixes = { invoicePrefix: 'HL-', creditNotePrefix: 'HLC-' }
  const settings = businessSettingsSchema.parse({ ...own, ...place, ...reached, ...written, ...billed, ...prefixes })
  applied('write its settings', await changeBusinessSettings(owner, settings))
  const costs = { planned: '18', found: '42', callOut: '130', hiddenPerDay: '1.50', shareReportedPercent: '10' }
  const everywhere = { commandId: demoId(nowMs, 'costs'), businessId, equipmentClass: '*', ...costs }
  applied('write its costs', await changeCosts(owner, everywhere))
  const ids = new Map<string, string>()
  for (const { key, name, kind, unit, price, forVisitKind } of DEMO_PRICES) {
    const id = demoId(nowMs, `price ${key}`)
    const tax = { taxCategory: 'S', taxRate: '20', taxExemptionReason: '', taxParts: '' } as const
    const item = { id, businessId, name, kind, unit, unitPrice: price, ...tax, validFrom: since, forVisitKind }
    applied(`price ${name}`, await addPriceItem(owner, item))
    ids.set(key, id)
  }
  return ids
}

/** Clients with their sites, tanks with what stands in them, and what was agreed. */
export async function loadRegister(
  owner: Actor,
  technicians: readonly Actor[],
  nowMs: number,
  { clients, tanks }: Register,
  signal?: AbortSignal,
): Promise<void> {
  await fewAtATime(clients, (client) => loadClient(owner, client), signal)
  await fewAtATime(clients, (client) => loadSite(owner, client, clients), signal)
  const load = (tank: DemoTank) => loadTank(owner, { technicians, nowMs, clients }, tank)
  await fewAtATime(tanks, load, signal)
}

async function loadClient(owner: Actor, client: DemoClient): Promise<void> {
  const { id, name, email, phone, street, paymentTermsDays, purchaseOrder, orderMissing } = client
  const billed = { billingName: name, billingAddress: street, billingPostcode: 'PE1 2AB', billingCity: TOWN }
  const fields = { name, email, phone, ...billed, billingCountry: 'GB', paymentTermsDays, purchaseOrder }
  const order = { purchaseOrderNeeded: purchaseOrder !== '' || orderMissing }
  const input = { ...EMPTY_CLIENT, ...fields, ...order, commandId: id, businessId: owner.businessId }
  applied(`add ${name}`, await addClient(owner, input))
}

async function loadSite(owner: Actor, client: DemoClient, clients: readonly DemoClient[]): Promise<void> {
  const { id: clientId, siteId, street, phone, accessNote, contact, latitude, longitude } = client
  const payerClientId = client.payer === null ? '' : (clients[client.payer]?.id ?? '')
  const place = { name: siteName(client), address: street, postcode: 'PE1 2AB', city: TOWN, country: 'GB' }
  const contacts = [{ name: contact, role: 'Lets us in', phone, email: '' }]
  const weekdays: ('1' | '2' | '3' | '4' | '5')[] = ['1', '2', '3', '4', '5']
  const accessWindows = client.name.endsWith('School') ? [{ weekdays, from: '08:00', to: '17:00' }] : []
  const inside = { clientId, payerClientId, ...place, latitude, longitude, accessNote, contacts, accessWindows }
  const input = { ...EMPTY_SITE, ...inside, commandId: siteId, businessId: owner.businessId }
  applied(`add the site of ${client.name}`, await addSite(owner, input))
}

type Needs = { technicians: readonly Actor[]; nowMs: number; clients: readonly DemoClient[] }

async function loadTank(owner: Actor, { technicians, clients }: Needs, tank: DemoTank): Promise<void> {
  const { businessId } = owner
  const { isPlanted, hasFineSand, dangerousAnimals, since, profile, name } = tank
  const siteId = clients[tank.client]?.siteId ?? ''
  const isMarine = profile === 'reef' || profile === 'fish-only-marine'
  const seen = {
    volume: String(tank.volumeL),
    levelMarkDisplayMm: isMarine ? '35' : '',
    levelMarkSumpMm: isMarine ? '210' : '',
    hasStringyRefugium: isPlanted,
    takenOverOn: since,
    isolator: 'Socket strip in the cabinet; fuse board in the corridor.',
  }
  const equipment = tank.devices.map(({ id, equipmentClass, label, installedOn }) => {
    const installed = installedOn === '' ? ('unknown' as const) : ('on' as const)
    return { id, equipmentClass, label, installed, installedOn, confirmedNew: false, note: '' }
  })
  const about = { siteId, name, profile, hasFineSand, dangerousAnimals, equipment, ...tankSurroundings(tank) }
  applied(
    `take over ${name}`,
    await addTank(owner, { ...EMPTY_TANK, ...about, ...seen, commandId: tank.id, businessId }),
  )
  const agreement = {
    commandId: tank.agreementId,
    businessId,
    tankId: tank.id,
    every: String(tank.everyWeeks),
    everyUnit: 'weeks' as const,
    anchorOn: since,
    visitMinutes: String(tank.visitMinutes),
    monthlyFee: (tank.feeMinor / 100).toFixed(2),
    currency: 'GBP',
    includes: 'Visits, water tests, salt and everyday supplies. Parts and call-outs by the price list.',
    preferredPersonId: technicians[tank.technician]?.personId ?? '',
    purchaseOrder: '',
    startsOn: since,
  }
  applied(`agree on ${name}`, await addAgreement(owner, agreement))
}

/** Of an invented bank; the check digits are right (ISO 13616). */
const DEMO_IBAN = 'GB07HLAC00000012345678'

/** Eight invented documents, one for each kind of paper; every business, person and number in them is made up. */
import type { FrozenBuyer, FrozenSeller } from '@/lib/office/money/frozen-parties'
import type { DocumentLine, MoneyDocument } from '@/lib/office/money/projection'
import type { TaxTreatment } from '@/lib/office/money/tax'
import { readTaxParts } from '@/lib/office/money/tax-parts'

type Place = FrozenBuyer['address']
const at = (streetLines: string[], place: string, region: string, postcode: string, country: string): Place => ({
  ...{ streetLines, place, region, postcode, country },
})

const nobody = { tradingName: '', taxNumber: '', companyNumber: '', email: '', phone: '', endpoint: '' }
const noAccount = { accountName: '', iban: '', bic: '', sortCode: '', accountNumber: '', routingNumber: '' }

function sellerAt(address: Place, style: FrozenSeller['style'], more: Partial<FrozenSeller>): FrozenSeller {
  return { edition: 2, name: '', address, ...nobody, ...noAccount, footer: '', logo: null, style, ...more }
}

function buyerAt(name: string, address: Place, more: Partial<FrozenBuyer> = {}): FrozenBuyer {
  return { edition: 2, name, address, ...nobody, reference: '', ...more }
}

const british = { locale: 'en-GB', pageSize: 'A4' } as const
const harbour = sellerAt(at(['3 Harbour Lane'], 'Port Ellery', '', 'PE1 4HL', 'GB'), british, {
  name: 'Harbour Lane Aquarium Care Ltd',
  taxNumber: 'GB 000 0000 00',
  companyNumber: '00000000',
  phone: '01632 960100',
  email: 'office@harbourlane.example',
  accountName: 'Harbour Lane Aquarium Care Ltd',
  sortCode: '00-00-00',
  accountNumber: '00000000',
  footer: 'Registered in England and Wales no. 00000000\nRegistered office: 3 Harbour Lane, Port Ellery, PE1 4HL',
})
const school = buyerAt(
  'Port Ellery School',
  at(['Finance office', '12 Quay Road'], 'Port Ellery', '', 'PE1 2AB', 'GB'),
  {
    reference: 'Room H2',
  },
)

const taxed = (ratePercent: string): TaxTreatment => ({ category: 'S', ratePercent })
const untaxed = (category: TaxTreatment['category'], exemptionReason = ''): TaxTreatment => ({
  ...{ category, ratePercent: category === 'O' ? null : '0', exemptionReason },
})

const line = (
  description: string,
  quantity: string,
  unit: string,
  unitPrice: string,
  tax: TaxTreatment,
): DocumentLine => ({
  ...{ description, placeName: 'Hall', quantity, unit, unitPrice, tax },
})

function paper(seller: FrozenSeller, buyer: FrozenBuyer, lines: DocumentLine[], more: Partial<MoneyDocument> = {}) {
  const dates = { issuedOn: '2026-11-25', dueOn: '2026-12-09', serviceStart: '2026-11-01', serviceEnd: '2026-11-30' }
  const document: MoneyDocument = {
    ...{ documentType: 'invoice', number: 'INV-0418', currency: 'GBP', purchaseOrder: '', note: '', credits: null },
    ...{ seller, buyer, lines, payments: [], credited: [], ...dates, ...more },
  }
  return { document, style: seller.style }
}

const month = (tax: TaxTreatment) => line('Agreement, two visits (12 and 26 Nov)', '1', 'month', '180', tax)
const callOut = (tax: TaxTreatment) => line('Call-out 18 Nov, skimmer, 40 min', '1', '', '55', tax)
const tube = (tax: TaxTreatment) => line('Dosing tube', '2', 'piece', '6.40', tax)

/** Standard rate beside zero rated and exempt. */
export const ukRegistered = paper(
  harbour,
  school,
  [
    month(taxed('20')),
    callOut(taxed('20')),
    tube(taxed('20')),
    line('Care sheet, printed', '3', '', '2.50', untaxed('Z')),
    line('Course for the caretakers', '2', 'hour', '40', untaxed('E', 'Education, VAT Act 1994, Schedule 9, Group 6')),
  ],
  { purchaseOrder: '77120' },
)

const { sortCode, accountNumber } = harbour
export const ukNotRegistered = paper(
  sellerAt(at(['8 Shingle Row'], 'Port Ellery', '', 'PE1 9SR', 'GB'), british, {
    ...{ name: 'Robin Vale', tradingName: 'Vale Tanks', phone: '01632 960101', sortCode, accountNumber },
  }),
  school,
  [month, callOut, tube].map((make) => make(untaxed('O', 'Not subject to VAT'))),
  { number: '0042' },
)

export const ukCreditNote = paper(
  harbour,
  school,
  [line('Agreement, one visit missed (12 Nov)', '0.5', 'month', '180', taxed('20'))],
  {
    ...{ documentType: 'credit_note', number: 'CN-0007', dueOn: null, note: 'One visit of November was missed.' },
    credits: { number: 'INV-0418', issuedOn: '2026-11-25' },
  },
)

/** From Ireland to a company in Germany. */
export const reverseCharge = paper(
  sellerAt(
    at(['2 Cooper’s Slip'], 'Kilmarra', 'Co. Wexford', 'Y00 X000', 'IE'),
    { locale: 'en-IE', pageSize: 'A4' },
    {
      ...{ name: 'Slaney Aquatics Ltd', taxNumber: 'IE 0000000XX', email: 'books@slaney.example' },
      ...{ iban: 'IE29AIBK93115212345678', bic: 'AIBKIE2D' }, // the example of the IBAN registry
    },
  ),
  buyerAt('Möwenhof Hotel GmbH', at(['Buchhaltung', 'Am Deich 7'], 'Norderbüll', '', '25899', 'DE'), {
    ...{ taxNumber: 'DE000000000', reference: '04011000-12345-67' },
  }),
  [month, callOut].map((make) => make(untaxed('AE', 'Reverse charge'))),
  { currency: 'EUR' },
)

/** A small business in Germany; two reasons on one paper stand on their lines. */
export const exempt = paper(
  sellerAt(
    at(['Hafenstraße 4'], 'Norderbüll', '', '25899', 'DE'),
    { locale: 'de-DE', pageSize: 'A4' },
    {
      ...{ name: 'Aquarienpflege Jäger', taxNumber: '00/000/00000', phone: '+49 30 23125 000' },
      iban: 'DE89370400440532013000', // the example of the IBAN registry
    },
  ),
  buyerAt('Praxis Dr. Öztürk', at(['Marktplatz 1'], 'Norderbüll', '', '25899', 'DE')),
  [
    month(untaxed('E', 'Kleinunternehmer, § 19 UStG')),
    line('Kurs für die Pflegekräfte', '1.5', 'hour', '1240.5', untaxed('E', 'Unterricht, § 4 Nr. 21 UStG')),
  ],
  { currency: 'EUR' },
)

/** New York City, 8.875 %: state 4, city 4.5, commuter district 0.375; labour and parts. */
const newYork: TaxTreatment = {
  ...taxed('8.875'),
  parts: readTaxParts('NY State sales tax 4 + New York City sales tax 4.5 + MCTD surcharge 0.375') ?? [],
}
export const usStacked = paper(
  sellerAt(
    at(['40 Pier Street', 'Unit 6'], 'New York', 'NY', '10001', 'US'),
    { locale: 'en-US', pageSize: 'LETTER' },
    {
      ...{ name: 'Pier Street Reef Care LLC', phone: '(212) 555-0100', email: 'office@pierstreet.example' },
      ...{ accountName: 'Pier Street Reef Care LLC', routingNumber: '122105155', accountNumber: '000123456789' },
      footer: 'Thank you for your business.',
    },
  ),
  buyerAt('Lobby of 9 Lantern Square', at(['9 Lantern Square', 'Suite 200'], 'Yonkers', 'NY', '10701', 'US'), {
    reference: 'Facilities',
  }),
  [month(newYork), callOut(newYork), tube(newYork), line('Permit, passed on at cost', '1', '', '12', untaxed('Z'))],
  { currency: 'USD', purchaseOrder: 'PO-9981' },
)

export const sixtyLines = paper(
  harbour,
  school,
  Array.from({ length: 60 }, (_, index) => ({
    ...line(
      `Part number ${1000 + index}`,
      String(index + 1),
      'piece',
      `${index + 1}.25`,
      taxed(index % 6 === 5 ? '5' : '20'),
    ),
    placeName: index % 2 === 0 ? 'Hall' : 'Foyer',
  })),
  { number: 'INV-0419' },
)

/** From the United Kingdom to Japan, in a currency without decimals. */
export const otherCurrency = paper(
  harbour,
  buyerAt('Aoba Gallery', at(['2-1-1 Aoba'], 'Sendai', 'Miyagi', '980-0000', 'JP')),
  [line('Advice on a new display', '12.5', 'hour', '9800', untaxed('G', 'Export'))],
  { number: 'INV-0420', currency: 'JPY' },
)

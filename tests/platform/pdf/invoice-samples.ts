/** Invented invoices for the PDF tests; every business, person and number in them is made up. */
import type { InvoiceLineView, InvoiceView } from '@/lib/platform/pdf/invoice-view'

const line = (
  description: string,
  quantity: string,
  unitPrice: string,
  net: string,
  more: Partial<InvoiceLineView> = {},
) => ({
  description,
  detail: '',
  quantity,
  unit: '',
  unitPrice,
  tax: '20\u00a0%',
  net,
  ...more,
})

export const plainInvoice: InvoiceView = {
  pageSize: 'A4',
  language: 'en-GB',
  kind: 'invoice',
  state: 'unpaid',
  number: '2026-0418',
  issueDate: '25 November 2026',
  issueDateIso: '2026-11-25',
  business: {
    name: 'Harbour Lane Aquarium Care',
    addressLines: ['4 Harbour Lane, Port Ellery'],
    detailLines: ['Tax no. XX 000 0000 00', '01632 960118 · office@harbourlane.example'],
  },
  client: {
    name: 'Port Ellery School',
    addressLines: ['Finance office', '12 Quay Road', 'Port Ellery'],
    detailLines: [],
  },
  facts: [
    { label: 'Your order', value: '77120' },
    { label: 'Service', value: '1–30 November 2026' },
    { label: 'Site', value: 'Hall' },
  ],
  currency: 'GBP',
  taxName: 'Tax',
  lines: [
    line('Agreement, two visits (12 and 26 Nov)', '1', '180.00', '180.00', { unit: 'month' }),
    line('Call-out 18 Nov, skimmer, 40 min', '1', '55.00', '55.00'),
    line('Dosing tube', '2', '6.40', '12.80', { detail: 'Fitted 18 Nov' }),
  ],
  summary: [
    { label: 'Net', amount: '247.80' },
    { label: 'Tax 20\u00a0% of 247.80', amount: '49.56' },
  ],
  final: { label: 'Due 9 December 2026', amount: '297.36' },
  payment: {
    accountName: 'Harbour Lane Aquarium Care Ltd',
    iban: 'GB82WEST12345698765432', // the example of the IBAN registry
    bic: 'WESTGB2L',
    others: [],
    reference: '2026-0418',
  },
  notes: [
    'Please give 2026-0418 as the reference. What was done and found at each visit: personal link in your message.',
  ],
  footer: [],
}

export const oneLine: InvoiceView = { ...plainInvoice, lines: plainInvoice.lines.slice(0, 1) }

export const sixtyLines: InvoiceView = {
  ...plainInvoice,
  number: '2026-0419',
  lines: Array.from({ length: 60 }, (_, index) =>
    line(
      index % 7 === 3
        ? `Call-out ${(index % 28) + 1} Nov, return pump would not restart after the power cut, strainer cleared, rotor set renewed, left running, ${40 + index} min`
        : `Part number ${1000 + index}`,
      String(index + 1),
      `${index}.25`,
      ((index + 1) * (index + 0.25)).toFixed(2),
      index % 5 === 0 ? { detail: `Hall · ${(index % 28) + 1} November 2026` } : {},
    ),
  ),
}

// Σ (i + 1)(i + ¼) for i = 0…59 is Σ i² + 1¼ Σ i + 15 = 70,210 + 2,212.50 + 15 = 72,437.50; 20 % of it 14,487.50.
sixtyLines.summary = [
  { label: 'Net', amount: '72,437.50' },
  { label: 'Tax 20\u00a0% of 72,437.50', amount: '14,487.50' },
]
sixtyLines.final = { label: 'Due 9 December 2026', amount: '86,925.00' }
sixtyLines.payment = {
  accountName: '',
  iban: '',
  bic: '',
  others: [
    { label: 'Sort code', value: '00-00-00' },
    { label: 'Account number', value: '00000000' },
  ],
  reference: '2026-0419',
}

export const unicodeNames: InvoiceView = {
  ...plainInvoice,
  pageSize: 'LETTER',
  number: '2026-0420',
  business: {
    ...plainInvoice.business,
    name: 'Æther & Łódź Akwaria Spółka z ograniczoną odpowiedzialnością, Oddział Gdynia',
    addressLines: ['ul. Żurawia 5, 90-001 Łódź'],
  },
  client: {
    name: 'Ελληνικό Ενυδρείο — Őrség-menti Árvíztűrő Tükörfúrógép és Công ty Thủy Cung',
    addressLines: ['Площадь Моря 3', 'Þórshöfn'],
    detailLines: ['Tax no. XX 111 1111 11'],
  },
  lines: [
    line(
      'Æther skimmer neck, Łódź type, fitted by Zażółć Gęślą-Jaźń',
      '1,250',
      '12\u202f345.6789',
      '15\u202f432\u202f098.63',
      { unit: 'hour' },
    ),
    line(
      'Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaftsaufsichtsrat',
      '1',
      '1.00',
      '1.00',
      {
        tax: '7.7\u00a0%',
      },
    ),
    line('Animals, exempt', '3', '40.00', '120.00', { tax: '0\u00a0%' }),
  ],
  summary: [
    { label: 'Net', amount: '15\u202f432\u202f219.63' },
    { label: 'Tax 20\u00a0% of 15\u202f432\u202f098.63', amount: '3\u202f086\u202f419.73' },
    { label: 'Tax 7.7\u00a0% of 1.00', amount: '0.08' },
    { label: 'Exempt 120.00', amount: '0.00' },
    { label: 'Paid 1 December 2026', amount: '−1\u202f000.00' },
  ],
  final: { label: 'Due 9 December 2026', amount: '18\u202f517\u202f639.44' },
  state: 'part_paid',
  notes: ['Exempt: sale of live animals by a small breeder (invented reason for this sample).', ...plainInvoice.notes],
}

export const creditNote: InvoiceView = {
  ...plainInvoice,
  kind: 'credit_note',
  number: 'C-2026-0007',
  state: 'paid',
  facts: [
    { label: 'Credits', value: 'Invoice 2026-0418 of 25 November 2026' },
    { label: 'Because', value: 'One visit of November was missed and could not be made up' },
  ],
  lines: [line('Agreement, one visit missed (12 Nov)', '1', '90.00', '90.00')],
  summary: [
    { label: 'Net', amount: '90.00' },
    { label: 'Tax 20\u00a0% of 90.00', amount: '18.00' },
  ],
  final: { label: 'Credited to you', amount: '108.00' },
  payment: null,
  notes: [],
}

export const draft: InvoiceView = { ...plainInvoice, state: 'draft', number: null }

export const paid: InvoiceView = {
  ...plainInvoice,
  state: 'paid',
  summary: [
    ...plainInvoice.summary,
    { label: 'Total', amount: '297.36' },
    { label: 'Paid 3 December 2026', amount: '−297.36' },
  ],
  final: { label: 'Paid in full, thank you', amount: '0.00' },
  payment: null,
  notes: [],
}

/**
 * Amounts of the official example documents of Peppol BIS Billing 3.0 (OpenPEPPOL/peppol-bis-invoice-3, rules/examples, release 2026.5), by the names of their files: what stands on the lines and on the
 * whole document, and the totals printed there. Amounts in minor units.
 */
import type { TaxTreatment } from '@/lib/office/money/tax'

type Example = {
  currency: string
  /** `unitPrice` is for `baseQuantity` units; allowances are taken off, charges put on. */
  lines: readonly {
    quantity: string
    unitPrice: string
    baseQuantity: string
    allowanceMinor: number
    chargeMinor: number
    tax: TaxTreatment
    printedNetMinor: number
  }[]
  adjustments: readonly { kind: 'allowance' | 'charge'; amountMinor: number; tax: TaxTreatment }[]
  printed: Record<
    | 'paidMinor'
    | 'lineNetsMinor'
    | 'allowancesMinor'
    | 'chargesMinor'
    | 'netMinor'
    | 'taxMinor'
    | 'grossMinor'
    | 'dueMinor',
    number
  > & {
    taxGroups: readonly { category: string; taxableMinor: number; taxMinor: number }[]
  }
}

export const PEPPOL_EXAMPLES: Readonly<Record<string, Example>> = {
  'Allowance-example.xml': {
    currency: 'EUR',
    lines: [
      {
        quantity: '10',
        unitPrice: '410',
        baseQuantity: '1',
        allowanceMinor: 10100,
        chargeMinor: 100,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: 400000,
      },
      {
        quantity: '10',
        unitPrice: '200',
        baseQuantity: '2',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'E',
          ratePercent: '0.0',
        },
        printedNetMinor: 100000,
      },
      {
        quantity: '10',
        unitPrice: '100',
        baseQuantity: '1',
        allowanceMinor: 10100,
        chargeMinor: 100,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: 90000,
      },
    ],
    adjustments: [
      {
        kind: 'charge',
        amountMinor: 20000,
        tax: {
          category: 'S',
          ratePercent: '25',
        },
      },
      {
        kind: 'allowance',
        amountMinor: 20000,
        tax: {
          category: 'S',
          ratePercent: '25',
        },
      },
    ],
    printed: {
      paidMinor: 100000,
      lineNetsMinor: 590000,
      allowancesMinor: 20000,
      chargesMinor: 20000,
      netMinor: 590000,
      grossMinor: 712500,
      dueMinor: 612500,
      taxMinor: 122500,
      taxGroups: [
        {
          category: 'S',
          taxableMinor: 490000,
          taxMinor: 122500,
        },
        {
          category: 'E',
          taxableMinor: 100000,
          taxMinor: 0,
        },
      ],
    },
  },
  'base-creditnote-correction.xml': {
    currency: 'EUR',
    lines: [
      {
        quantity: '7',
        unitPrice: '400',
        baseQuantity: '1',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: 280000,
      },
      {
        quantity: '-3',
        unitPrice: '500',
        baseQuantity: '1',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: -150000,
      },
    ],
    adjustments: [
      {
        kind: 'charge',
        amountMinor: 2500,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
      },
    ],
    printed: {
      paidMinor: 0,
      lineNetsMinor: 130000,
      allowancesMinor: 0,
      chargesMinor: 2500,
      netMinor: 132500,
      grossMinor: 165625,
      dueMinor: 165625,
      taxMinor: 33125,
      taxGroups: [
        {
          category: 'S',
          taxableMinor: 132500,
          taxMinor: 33125,
        },
      ],
    },
  },
  'base-example.xml': {
    currency: 'EUR',
    lines: [
      {
        quantity: '7',
        unitPrice: '400',
        baseQuantity: '1',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: 280000,
      },
      {
        quantity: '-3',
        unitPrice: '500',
        baseQuantity: '1',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
        printedNetMinor: -150000,
      },
    ],
    adjustments: [
      {
        kind: 'charge',
        amountMinor: 2500,
        tax: {
          category: 'S',
          ratePercent: '25.0',
        },
      },
    ],
    printed: {
      paidMinor: 0,
      lineNetsMinor: 130000,
      allowancesMinor: 0,
      chargesMinor: 2500,
      netMinor: 132500,
      grossMinor: 165625,
      dueMinor: 165625,
      taxMinor: 33125,
      taxGroups: [
        {
          category: 'S',
          taxableMinor: 132500,
          taxMinor: 33125,
        },
      ],
    },
  },
  'vat-category-O.xml': {
    currency: 'SEK',
    lines: [
      {
        quantity: '1',
        unitPrice: '3200.00',
        baseQuantity: '1',
        allowanceMinor: 0,
        chargeMinor: 0,
        tax: {
          category: 'O',
          ratePercent: null,
        },
        printedNetMinor: 320000,
      },
    ],
    adjustments: [],
    printed: {
      paidMinor: 0,
      lineNetsMinor: 320000,
      allowancesMinor: 0,
      chargesMinor: 0,
      netMinor: 320000,
      grossMinor: 320000,
      dueMinor: 320000,
      taxMinor: 0,
      taxGroups: [
        {
          category: 'O',
          taxableMinor: 320000,
          taxMinor: 0,
        },
      ],
    },
  },
}

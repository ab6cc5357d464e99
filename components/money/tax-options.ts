/** The tax categories of EN 16931 (UNTDID 5305) as choices in plain words. */
export const TAX_OPTIONS = [
  { value: 'S', label: 'Taxed' },
  { value: 'Z', label: 'Zero rated' },
  { value: 'E', label: 'Exempt' },
  { value: 'AE', label: 'Reverse charge' },
  { value: 'K', label: 'Supply within the EU' },
  { value: 'G', label: 'Export outside the EU' },
  { value: 'O', label: 'Outside the scope of tax' },
] as const

export const TAX_PARTS_HINT = 'Each with its rate: State 4 + City 4.5. The rate is then their sum. Blank for one tax.'
export const TAX_REASON_HINT = 'Printed on the invoice. Blank for the usual words, but an exemption needs its law.'

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

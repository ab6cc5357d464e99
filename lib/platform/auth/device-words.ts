// The first that fits counts, for each browser names those before it too.
const BROWSERS = [
  [/\bEdgA?\//, 'Edge'],
  [/\bOPR\//, 'Opera'],
  [/\bSamsungBrowser\//, 'Samsung Internet'],
  [/\b(?:Firefox|FxiOS)\//, 'Firefox'],
  [/\b(?:Chrome|CriOS|Chromium)\//, 'Chrome'],
  [/\bSafari\//, 'Safari'],
] as const
const SYSTEMS = [
  [/\biPhone\b/, 'iPhone'],
  [/\biPad\b/, 'iPad'],
  [/\bAndroid\b/, 'Android'],
  [/\bWindows\b/, 'Windows'],
  [/\bMac OS X\b|\bMacintosh\b/, 'Mac'],
  [/\bCrOS\b/, 'Chromebook'],
  [/\bLinux\b/, 'Linux'],
] as const

/** A browser and a system by their common names, for a list in which one knows one's own phone again. */
export function deviceInWords(userAgent: string): string {
  const known = (names: readonly (readonly [RegExp, string])[]) => names.find(([mark]) => mark.test(userAgent))?.[1]
  const [browser, system] = [known(BROWSERS), known(SYSTEMS)]
  if (browser && system) return `${browser} on ${system}`
  return browser ?? system ?? 'Unknown device'
}

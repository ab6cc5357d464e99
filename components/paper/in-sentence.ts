/** A name inside a sentence: "Protein skimmer" → "protein skimmer", but "CO2 set", "UV unit" and "pH probe" stay as they are. */
export function inSentence(name: string): string {
  return /^[A-Z]([a-z]| )/.test(name) ? `${name.charAt(0).toLowerCase()}${name.slice(1)}` : name
}

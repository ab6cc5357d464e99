/**
 * Whether this is a possible IBAN: two letters, two check digits, at most 30 more letters and digits, and the whole
 * number 1 modulo 97. Takes no spaces. Source: ISO 13616-1 (form) and ISO 7064 MOD 97-10 (check), from memory.
 * @example isIban('GB82WEST12345698765432') // true
 */
export function isIban(iban: string): boolean {
  if (!/^[A-Z]{2}\d{2}[A-Z0-9]{11,30}$/.test(iban)) return false
  const checkDigits = Number(iban.slice(2, 4))
  // 00, 01 and 99 would pass the remainder but are never given out: they stand for 97, 98 and 02.
  if (checkDigits < 2 || checkDigits > 98) return false
  const turned = iban.slice(4) + iban.slice(0, 4)
  let remainder = 0
  for (const sign of turned) {
    const value = Number.parseInt(sign, 36)
    remainder = (remainder * (value > 9 ? 100 : 10) + value) % 97
  }
  return remainder === 1
}

/** Whether this has the form of a BIC: bank, country, place and perhaps branch. Source: ISO 9362, from memory. */
export function isBic(bic: string): boolean {
  return /^[A-Z0-9]{4}[A-Z]{2}[A-Z0-9]{2}([A-Z0-9]{3})?$/.test(bic)
}

/**
 * Whether this is a possible routing number of an American bank: nine digits, of which three times the first, fourth and seventh, seven times the
 * second, fifth and eighth and once the others add up to a multiple of ten. Source: ABA routing number policy, from memory.
 * @example isRoutingNumber('122105155') // true
 */
export function isRoutingNumber(digits: string): boolean {
  if (!/^\d{9}$/.test(digits)) return false
  const weights = [3, 7, 1]
  const sum = [...digits].reduce((total, digit, index) => total + Number(digit) * (weights[index % 3] ?? 0), 0)
  return sum % 10 === 0 && digits !== '000000000'
}

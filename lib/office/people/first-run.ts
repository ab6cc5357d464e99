import 'server-only'
import { createHash, randomInt, timingSafeEqual } from 'node:crypto'
import type { z } from 'zod'
import { newId } from '@/lib/new-id'
import { hashPassword } from '@/lib/platform/auth/password'
import { passwordWeakness } from '@/lib/platform/auth/password-strength'
import { makeFirstLogin } from '@/lib/platform/db/identity-calls'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { localeOfCountry } from '../frame/locales'
import { done, type Result, refused } from '../frame/result'
import { countryWords } from '../money/country-words'
import type { Proven } from './actor-of'
import { keepEvent } from './entry-events'
import type { firstRunSchema } from './schema'

/**
 * The code that whoever begins must know, printed in the terminal of the installation; null where only this machine can
 * reach the page.
 */
export function firstRunCode(): string | null {
  return process.env.TANKROUND_FIRST_RUN_CODE || null
}

// None that looks like another: no 0 and o, no 1, i and l.
const CODE_LETTERS = '23456789abcdefghjkmnpqrstuvwxyz'

/** A new code, to be read off a terminal and typed on a phone: three groups of four letters and figures. */
export function newFirstRunCode(): string {
  const group = () => Array.from({ length: 4 }, () => CODE_LETTERS[randomInt(CODE_LETTERS.length)]).join('')
  return [group(), group(), group()].join('-')
}

/** Whether this is that code, in whatever case and groups; takes the same time wherever two texts differ. */
export function isFirstRunCode(typed: string, code: string): boolean {
  const hash = (text: string) => createHash('sha256').update(text.toLowerCase().replaceAll(/[\s-]/g, '')).digest()
  return timingSafeEqual(hash(typed), hash(code))
}

export type FirstRun = Omit<z.output<typeof firstRunSchema>, 'code'>

/** Whether nobody has begun here: only then is there a first-run page. */
export function noBusinessYet(): Promise<boolean> {
  return asIdentity(async (tx) => (await tx.business.findFirst({ select: { id: true } })) === null)
}

/** How a business of this country begins to write; its settings can change each. */
function waysOf({ country, timeZone, currency }: FirstRun) {
  const ways = { country, timeZone, currency, locale: localeOfCountry(country) }
  const volumeUnit = country === 'US' ? 'us_gal' : 'L'
  // Where no missing number stops a paper that charges tax, none is charged until a rate is stated.
  const tax = countryWords(country).sellerNeedsNumber ? {} : { defaultTaxCategory: 'O', defaultTaxRate: 0 }
  return { ...ways, volumeUnit, ...tax }
}

/**
 * Makes the first business and its owner, exactly once even when two people try at the same moment; the second is
 * refused. There is no command to hang this on, for a command belongs to a business; its row is written at the end.
 */
export async function makeFirstBusiness(input: FirstRun): Promise<Result<Proven, 'not-first' | 'weak-password'>> {
  const weakness = passwordWeakness(input.password, [input.email, input.name, input.businessName])
  if (weakness) return refused('weak-password', weakness)
  const passwordHash = await hashPassword(input.password)
  const [loginId, businessId, personId, membershipId] = [newId(), newId(), newId(), newId()]
  const begun = await inScope({ role: 'office', businessId, personId }, async (tx) => {
    if (!(await makeFirstLogin(tx, { id: loginId, email: input.email, passwordHash }))) return false
    const { businessName, name, email } = input
    await tx.business.create({
      data: { id: businessId, name: businessName, legalName: businessName, email, ...waysOf(input) },
    })
    await tx.person.create({ data: { businessId, id: personId, name, isTechnician: true } })
    await tx.personPrivate.create({ data: { businessId, id: personId, personId, email } })
    await tx.membership.create({
      data: { businessId, id: membershipId, personId, loginId, roles: ['owner'] },
    })
    const now = new Date()
    await tx.command.create({
      data: {
        businessId,
        id: newId(),
        deviceId: 'desk',
        deviceSeq: 0,
        madeAt: now,
        kind: 'people.first-run',
        payload: {},
        status: 'applied',
        result: { membershipId },
        personId,
      },
    })
    return true
  })
  if (!begun) return refused('not-first', 'A business is already here. Sign in, or ask its owner to invite you.')
  const proven = { loginId, membershipId, businessId }
  await asIdentity((tx) => keepEvent(tx, { kind: 'business-begun', ...proven }))
  return done(proven)
}

import 'server-only'
import { createHash } from 'node:crypto'
import { fileStore } from '@/lib/platform/files/file-store'
import { type LogoPicture, readLogoPicture } from '@/lib/platform/files/picture'
import type { Actor } from '../frame/actor'
import { defineCommand } from '../frame/command'
import { done, type Result, refused } from '../frame/result'
import { keepLogoSchema, LOGO_WORDS, type LogoUpload, MOST_LOGO_BYTES, removeLogoSchema } from './schema'

/** Keeps a logo for the papers to come: checked, made small, on white. Issued invoices keep the one they were issued with. */
export async function addLogo(
  actor: Actor,
  upload: LogoUpload,
  bytes: Uint8Array,
): Promise<Result<{ sha256: string }, 'not-a-picture' | 'too-large'>> {
  const picture = await readLogoPicture(bytes, MOST_LOGO_BYTES)
  if (typeof picture === 'string') return refused(picture, LOGO_WORDS[picture])
  const sha256 = createHash('sha256').update(bytes).digest('hex')
  return keepLogo(actor, { ...upload, sha256 }, { beside: picture })
}

/** In the log stands the hash of what came; the picture comes beside it. */
export const keepLogo = defineCommand(
  { kind: 'settings.logo', may: 'settings.change', schema: keepLogoSchema },
  async ({ tx, audit }, { businessId }, picture?: LogoPicture) => {
    if (!picture) return refused('not-a-picture', LOGO_WORDS['not-a-picture'])
    const sha256 = await fileStore().put(businessId, picture.bytes)
    const { logoSha256 } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const data = { logoSha256: sha256, logoWidthPx: picture.widthPx, logoHeightPx: picture.heightPx }
    await tx.business.update({ where: { id: businessId }, data })
    await audit('business', businessId, 'settings.logo', { logoSha256 }, data)
    return done({ sha256 })
  },
)

/** Papers to come bear no logo any more. The file stays: issued ones are printed with it. */
export const removeLogo = defineCommand(
  { kind: 'settings.no-logo', may: 'settings.change', schema: removeLogoSchema },
  async ({ tx, audit }, { businessId }) => {
    const { logoSha256 } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    if (logoSha256 === null) return refused('already-so', 'There is no logo.')
    const data = { logoSha256: null, logoWidthPx: null, logoHeightPx: null }
    await tx.business.update({ where: { id: businessId }, data })
    await audit('business', businessId, 'settings.no-logo', { logoSha256 }, data)
    return done({ businessId })
  },
)

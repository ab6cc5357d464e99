import 'server-only'
import { fileStore } from '@/lib/platform/files/file-store'
import type { PaperPicture } from '@/lib/platform/pdf/paper'
import type { PaperLogo } from './frozen-parties'

/** The picture of a logo as the file store keeps it; null where there is none, or its file is gone: an invoice prints without it. */
export async function readLogo(businessId: string, logo: PaperLogo | null): Promise<PaperPicture | null> {
  if (logo === null) return null
  const kept = await fileStore().read({ businessId, sha256: logo.sha256 })
  if (!kept) return null
  const pieces: Buffer[] = []
  for await (const piece of kept.content) pieces.push(Buffer.from(piece))
  return { bytes: Buffer.concat(pieces), widthPx: logo.widthPx, heightPx: logo.heightPx }
}

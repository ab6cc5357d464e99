import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { PageHead } from '@/components/shell'
import { PhotoList } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { tankPhotos } from '@/lib/office/photos/queries'
import { changePhotoAction } from './actions'

export const metadata: Metadata = { title: 'Photos' }

export default async function TankPhotosPage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('register.change')
  const tankId = z.uuid().safeParse((await params).tankId)
  const found = tankId.success ? await tankPhotos(actor, tankId.data) : null
  if (!found) notFound()
  return (
    <>
      <PageHead
        over={found.tankName}
        title="Photos"
        sub="Choose who sees each one. A withdrawn photo can be shown again."
      />
      <PhotoList photos={found.photos} hrefOf={(photoId) => `/api/photos/${photoId}`} action={changePhotoAction} />
    </>
  )
}

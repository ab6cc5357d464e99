import { dateWords, Empty, Sheet } from '@/components/paper'
import type { FormAction } from '@/lib/office/frame/schema'
import type { PhotoSeenBy } from '@/lib/office/photos/schema'
import { SeenByForm } from './seen-by-form'

type Photo = { id: string; caption: string; takenAt: string; seenBy: PhotoSeenBy }
type Props = {
  photos: readonly Photo[]
  hrefOf: (id: string) => string
  action: FormAction
}

/** The photos of a tank, each with who sees it. What was withdrawn is named, not shown. */
export function PhotoList({ photos, hrefOf, action }: Props) {
  if (photos.length === 0) return <Empty title="No photos yet">Photos are added on a visit.</Empty>
  return photos.map(({ id, caption, takenAt, seenBy }) => {
    const taken = dateWords({ date: takenAt.slice(0, 10) })
    return (
      <Sheet key={id} title={caption || `Photo of ${taken}`}>
        <p className="soft">Taken {taken}</p>
        {seenBy !== 'nobody' && (
          <div className="tank-photos">
            <a href={hrefOf(id)}>
              {/* biome-ignore lint/performance/noImgElement: the file is private and comes through the route that checks the row */}
              <img src={hrefOf(id)} alt={caption || `Photo of ${taken}`} loading="lazy" />
            </a>
          </div>
        )}
        <SeenByForm action={action} photoId={id} seenBy={seenBy} />
      </Sheet>
    )
  })
}

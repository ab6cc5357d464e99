import { DateWords, Sheet } from '@/components/paper'

type Props = {
  title: string
  locale: string
  visit: {
    date: string
    minutes: number | null
    plain: { opening: string; found: string[]; water: string | null; looked: string | null; note: string | null }
    photos: { id: string; caption: string; width: number; height: number }[]
  }
}

/** One visit as the client reads it: sentences first, then the pictures. */
export function RecordVisit({ title, locale, visit }: Props) {
  const { plain, photos, minutes } = visit
  const [came, ...after] = plain.opening.split(' and had to')
  return (
    <Sheet title={title}>
      <p>
        {came} on <DateWords date={visit.date} style="day" locale={locale} />
        {minutes === null ? '' : `, ${minutes} ${minutes === 1 ? 'minute' : 'minutes'}`}
        {after.length > 0 ? `, and had to${after.join(' and had to')}` : ''}.
      </p>
      {plain.note && <p>{plain.note}</p>}
      {plain.found.map((sentence) => (
        <p key={sentence}>
          <strong>Found.</strong> {sentence}
        </p>
      ))}
      {plain.water && <p>{plain.water}</p>}
      {plain.looked && <p className="soft">{plain.looked}</p>}
      {photos.length > 0 && (
        <ul className="record-photos">
          {photos.map((photo) => (
            <li key={photo.id}>
              <figure>
                {/* biome-ignore lint/performance/noImgElement: read through the route that checks the row, sized when stored */}
                <img
                  src={`/api/photos/${photo.id}`}
                  alt={photo.caption || 'Picture taken at this visit'}
                  width={photo.width}
                  height={photo.height}
                  loading="lazy"
                />
                {photo.caption && <figcaption className="small soft">{photo.caption}</figcaption>}
              </figure>
            </li>
          ))}
        </ul>
      )}
    </Sheet>
  )
}

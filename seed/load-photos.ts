import sharp from 'sharp'
import type { Actor } from '@/lib/office/frame/actor'
import { addPhoto } from '@/lib/office/photos/commands'
import { demoId } from './demo-ids'
import { applied } from './expect'
import type { DemoPlan } from './plan'
import { SeededRandom } from './seeded-random'

/** How many visits of each tank that a client reads about get pictures. */
const PICTURED_VISITS = 3
const CAPTIONS = ['As left', 'Front view', 'Growing well', 'After cleaning']

/** A few pictures of the tanks whose clients can sign in: painted, not photographed. */
export async function loadPhotos(technicians: readonly Actor[], plan: DemoPlan): Promise<void> {
  const { now } = plan.calendar
  for (const stories of plan.stories) {
    const over = stories.filter(
      ({ visit, ending }) => !visit.isOld && ending === 'done' && endOf(visit) < now.getTime(),
    )
    for (const { visit } of over.filter(({ visit }) => visit.tank.client < 2).slice(-PICTURED_VISITS)) {
      const technician = technicians[visit.technician]
      if (!technician) continue
      const takenAt = new Date(endOf(visit) - 60_000)
      const random = new SeededRandom(visit.storyDay + visit.tank.number)
      const upload = {
        photoId: demoId(takenAt.getTime(), `photo ${visit.id}`),
        businessId: technician.businessId,
        visitId: visit.id,
        caption: random.choice(CAPTIONS),
        forClient: true,
        takenAt: takenAt.toISOString(),
        deviceId: `camera of ${technician.name}`,
        deviceSeq: 1,
      }
      const picture = await sharp(Buffer.from(paintTank(random, visit.tank.profile === 'reef')))
        .jpeg({ quality: 82 })
        .toBuffer()
      applied(`keep a picture of ${visit.tank.name}`, await addPhoto(technician, upload, picture))
    }
  }
}

const endOf = ({ startsAt, minutes }: { startsAt: Date; minutes: number }) => startsAt.getTime() + minutes * 60_000

/** Water, ground and a few soft shapes. */
function paintTank(random: SeededRandom, isReef: boolean): string {
  const hue = isReef ? random.integer(205, 225) : random.integer(150, 175)
  const shapes = Array.from({ length: 16 }, () => {
    const [x, y, r] = [random.integer(40, 1160), random.integer(430, 700), random.integer(30, 110)]
    const colour = isReef ? random.choice([330, 18, 45, 275, 190]) : random.choice([95, 115, 140, 80])
    return `<ellipse cx="${x}" cy="${y}" rx="${r}" ry="${Math.round(r * 0.7)}" fill="hsl(${colour} 45% ${random.integer(35, 60)}%)" opacity="0.75"/>`
  })
  const fish = Array.from({ length: 5 }, () => {
    const [x, y] = [random.integer(100, 1100), random.integer(120, 430)]
    return `<path d="M${x} ${y} q40 -26 80 0 q-40 26 -80 0 l-26 -18 v36 z" fill="hsl(${random.integer(15, 50)} 80% 60%)"/>`
  })
  return `<svg xmlns="http://www.w3.org/2000/svg" width="1200" height="800"><defs>
    <linearGradient id="water" x1="0" y1="0" x2="0" y2="1"><stop offset="0" stop-color="hsl(${hue} 70% 72%)"/><stop offset="1" stop-color="hsl(${hue} 65% 24%)"/></linearGradient>
    </defs><rect width="1200" height="800" fill="url(#water)"/>${shapes.join('')}
    <path d="M0 690 Q300 640 600 690 T1200 680 V800 H0 Z" fill="hsl(40 30% 70%)"/>${fish.join('')}</svg>`
}

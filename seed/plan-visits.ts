/** When everybody is where: from thirty months ago to two weeks after this one. Pure. */
import { addDays } from '@/lib/office/frame/days'
import { type Calendar, dayNumber, instantAt, storyDay, workday } from './calendar'
import { demoId } from './demo-ids'
import { DEMO_SIZE, type DemoTank, isVisitedIn } from './plan-register'
import { SeededRandom } from './seeded-random'

export type DemoVisit = {
  id: string
  tank: DemoTank
  week: number
  day: string
  /** Whole days since 1970-01-01. */
  dayNumber: number
  /** Days since this week's Monday. */
  storyDay: number
  technician: number
  kind: 'routine' | 'call_out'
  startMinute: number
  minutes: number
  startsAt: Date
  /** Told by the old records; else logged on a phone. */
  isOld: boolean
  /** Stands in the plan: this week's and later ones. */
  isBooked: boolean
}

const WEEKS_AHEAD = 2
const FIRST_MINUTE = 8 * 60 + 30
const TRAVEL_MINUTES = 30
const LAST_MINUTE = 17 * 60 + 30
const AFTERNOON_MINUTE = 16 * 60 + 45

/** All visits in order of time. */
export function planVisits(seed: number, calendar: Calendar, tanks: readonly DemoTank[]): DemoVisit[] {
  const rough = tanks.flatMap((tank) => visitsOfTank(new SeededRandom(seed * 1000 + tank.number), calendar, tank))
  rough.sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : a.tank.number - b.tank.number))
  const busyUntil = new Map<string, number>()
  return rough
    .map((visit): DemoVisit => {
      const freeAt = (who: number) => busyUntil.get(`${who} ${visit.day}`) ?? FIRST_MINUTE
      const isLate = freeAt(visit.technician) + visit.minutes > LAST_MINUTE
      const earliest = [0, 1, 2].sort((a, b) => freeAt(a) - freeAt(b))[0] ?? 0
      const technician = isLate && !visit.isBooked ? earliest : visit.technician
      const free = freeAt(technician)
      const startMinute = visit.kind === 'call_out' ? Math.max(free, AFTERNOON_MINUTE) : free
      busyUntil.set(`${technician} ${visit.day}`, startMinute + visit.minutes + TRAVEL_MINUTES)
      const startsAt = instantAt(calendar, visit.day, startMinute)
      const id = demoId(startsAt.getTime(), `visit ${visit.tank.number} ${visit.day} ${visit.kind}`)
      return {
        ...visit,
        id,
        technician,
        startMinute,
        startsAt,
        dayNumber: dayNumber(visit.day),
        storyDay: storyDay(calendar, visit.day),
      }
    })
    .sort((a, b) => a.startsAt.getTime() - b.startsAt.getTime() || a.tank.number - b.tank.number)
}

type Rough = Omit<DemoVisit, 'id' | 'startMinute' | 'startsAt' | 'dayNumber' | 'storyDay'>

function visitsOfTank(random: SeededRandom, calendar: Calendar, tank: DemoTank): Rough[] {
  const visits: Rough[] = []
  for (let week = -DEMO_SIZE.weeks; week <= WEEKS_AHEAD; week++) {
    const missed = random.next() < 0.04
    const shift = random.next()
    const longer = random.normal(0, 6)
    const calledOut = random.next() < 0.012
    const isBooked = week >= 0
    const isOld = week < -DEMO_SIZE.weeksByPhone
    const technician = random.next() < 0.12 ? random.integer(0, 2) : tank.technician
    if (isVisitedIn(tank, week) && (isBooked || !missed)) {
      // This week and later keep to the plan; before, a visit moves by a day now and then.
      const moved = isBooked ? 0 : shift < 0.1 ? -1 : shift > 0.9 ? 1 : 0
      const place = Math.min(4, Math.max(0, tank.dayPlace + moved))
      const day = workday(calendar, week, place)
      const minutes = isBooked ? tank.visitMinutes : Math.max(20, Math.round((tank.visitMinutes + longer) / 5) * 5)
      const who = isBooked ? tank.technician : technician
      if (day > tank.since) visits.push({ tank, week, day, technician: who, kind: 'routine', minutes, isOld, isBooked })
    }
    if (calledOut && week < -1 && !isOld) {
      const day = addDays(workday(calendar, week, 4), -((tank.dayPlace + 2) % 4))
      visits.push({ tank, week, day, technician, kind: 'call_out', minutes: 45, isOld, isBooked: false })
    }
  }
  return visits.filter(({ day }, place) => visits.findIndex((other) => other.day === day) === place)
}

import { checkAmount } from './check-domain'

/** A box of water seen from above, in centimetres. */
type Surface = { length: number; width: number }

export type DrainDown = {
  /** Litres that run back when the pump stops. */
  drains: number
  /** Litres that the sump takes between its running level and its rim. */
  room: number
  /** room − drains: below 0 it overflows by so much. */
  spare: number
  fits: boolean
  /** The highest running level of the sump, in centimetres, from which all still fits; below 0: from none. */
  highestLevel: number
}

/**
 * What runs back into the sump when the return pump stops, against the room there. Each tank falls by `fall`: down to the lower of its weir and the first opening of the return line through which air gets in, for until then the
 * line siphons back (a hole against siphoning can clog: then count to the nozzle). Pipes and standing devices that empty are added. litres = Σ length · width · fall / 1000 + pipes + devices.
 * Units: centimetres and litres; surfaces are inside measures less what stands in them. Domain: sizes above 0, all else from 0; the sump's running level at most its rim. Errors: RangeError outside it. Source: geometry.
 * Assumes straight walls, and a sump without chambers that keep back water of their own. It is worked out before the test with the pump off, not instead of it.
 * @example drainDown({ tanks: [{ length: 120, width: 50, fall: 3 }], pipes: 2, sump: { length: 80, width: 40, level: 25, rim: 38 } }).spare // 21.6
 */
export function drainDown({
  tanks,
  pipes = 0,
  devices = 0,
  sump,
}: {
  tanks: readonly (Surface & { fall: number })[]
  /** Litres. */
  pipes?: number
  devices?: number
  sump: Surface & { level: number; rim: number }
}): DrainDown {
  for (const { fall, ...surface } of tanks) {
    checkSurface(surface, 'a tank')
    checkAmount(fall, 'fall', 'cm')
  }
  checkSurface(sump, 'the sump')
  checkAmount(pipes, 'pipes', 'L')
  checkAmount(devices, 'devices', 'L')
  checkAmount(sump.rim, 'rim', 'cm', { aboveZero: true })
  checkAmount(sump.level, 'level', 'cm')
  if (sump.level > sump.rim)
    throw new RangeError(`the running level must be at most the rim, ${sump.rim} cm, got ${sump.level}`)
  const drains = tanks.reduce((sum, { fall, ...surface }) => sum + litres(surface, fall), pipes + devices)
  const room = litres(sump, sump.rim - sump.level)
  const spare = room - drains
  return { drains, room, spare, fits: spare >= 0, highestLevel: sump.rim - drains / litres(sump, 1) }
}

const litres = ({ length, width }: Surface, height: number) => (length * width * height) / 1000

function checkSurface({ length, width }: Surface, name: string): void {
  checkAmount(length, `the length of ${name}`, 'cm', { aboveZero: true })
  checkAmount(width, `the width of ${name}`, 'cm', { aboveZero: true })
}

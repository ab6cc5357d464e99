/**
 * Somebody rings at night: what to tell them, sign by sign, and whether somebody must go. Common practice, no source; figures from memory: an electrician and a vet should read it before
 * anyone relies on it. Every step is said to a person who stands beside wet electrics: keep them out of danger first.
 */
import { MARINE } from './catalogue/define'
import type { TankKind } from './catalogue/types'

export type PhoneStep = {
  text: string
  /** Only where a device of one of these classes is fitted. */
  onlyWith?: readonly string[]
  onlyKinds?: readonly TankKind[]
  /** Only where animals that can hurt are listed for the tank, or only where none are. */
  onlyWhere?: 'stinging' | 'nothing-stings'
}
export type PhoneVerdict = 'go' | 'wait'
export type PhoneScript = {
  slug: string
  /** What they say, in a few words. */
  says: string
  onlyWith?: readonly string[]
  tell: readonly PhoneStep[]
  /** What the answer usually is, and when it is the other. */
  verdict: PhoneVerdict
  when: readonly PhoneStep[]
}

/** Before anything else, whatever they say. */
export const FIRST_ON_THE_PHONE: readonly string[] = [
  'Is anyone hurt? Do you see smoke or flames? Then out of the room, and call the emergency number.',
  'Is it wet near sockets or plugs? Stay clear. Touch a switch or the isolator only if you can reach it dry.',
  'Keep your hands out of the tank, and do not feed.',
]

const COLD: readonly TankKind[] = ['cold-water']
const AIR: PhoneStep = { text: 'Switch on an air pump if there is one, on its battery or in a dry socket.' }
const STOOD_STILL: PhoneStep = {
  text: 'The external filter stays off if it stood for more than two hours: its water has gone bad.',
  onlyWith: ['external-filter'],
}

const SCRIPTS: readonly PhoneScript[] = [
  {
    slug: 'gasping',
    says: 'Fish are gasping',
    tell: [
      AIR,
      { text: 'Shut the valve of the CO2 cylinder.', onlyWith: ['carbon-dioxide-set'] },
      { text: 'Open the windows.' },
      { text: 'No medicine, and no water change.' },
    ],
    verdict: 'go',
    when: [],
  },
  {
    slug: 'water-on-the-floor',
    says: 'Water on the floor',
    tell: [
      { text: 'Stay clear of it. Switch the isolator off if you can reach it dry.' },
      { text: 'Shut the tap of the water purifier.', onlyWith: ['reverse-osmosis'] },
      { text: 'Take a photo, and warn whoever is below.' },
      { text: 'Without power the animals have no air: say when it went off.' },
    ],
    verdict: 'go',
    when: [{ text: 'Wait only for a splash that was wiped up and is still dry after 20 minutes.' }],
  },
  {
    slug: 'burning',
    says: 'A smell of burning',
    tell: [
      { text: 'Touch nothing there.' },
      { text: 'Switch the isolator off if it is outside the room and dry.' },
      { text: 'Do not switch anything on again.' },
    ],
    verdict: 'go',
    when: [{ text: 'Bring an electrician.' }],
  },
  {
    slug: 'power-cut',
    says: 'The power is off',
    tell: [
      { text: 'Is the whole building dark?' },
      AIR,
      { text: 'Keep the lid shut: the tank stays warm for hours.' },
      { text: 'When the power is back, watch the water level in the sump.', onlyWith: ['return-pump'] },
      STOOD_STILL,
    ],
    verdict: 'wait',
    when: [{ text: 'With air it can wait; ring again every hour.' }, { text: 'Go after an hour without air.' }],
  },
  {
    slug: 'tripped',
    says: 'A fuse or safety switch tripped',
    tell: [
      { text: 'Is anything wet, hot, or does it smell? Then leave it off.' },
      { text: 'If all is dry: unplug everything, then reset it once.' },
      { text: 'Plug the air in first, then the return pump.', onlyWith: ['return-pump', 'air-pump'] },
      { text: 'The heater stays out.', onlyWith: ['heater'] },
      { text: 'What made it trip is not tried again.' },
    ],
    verdict: 'wait',
    when: [
      { text: 'Wait if it holds, go if it does not.' },
      { text: 'If it trips with nothing plugged in, an electrician must come.' },
    ],
  },
  {
    slug: 'silent',
    says: 'It is silent, nothing runs',
    tell: [
      { text: 'Do the other sockets in the room work?' },
      { text: 'If you find a switch that is off and all is dry, switch it on, once.' },
      AIR,
      STOOD_STILL,
    ],
    verdict: 'go',
    when: [{ text: 'Go within the hour. Wait if it runs again, or if the air runs.' }],
  },
  {
    slug: 'too-hot',
    says: 'The water is too warm',
    tell: [
      { text: 'Unplug the plug marked HEATER, no other.', onlyWith: ['heater'] },
      { text: 'Lights off, lid open, cool the room. No ice in the tank.' },
      { text: 'Read the thermometer again in 30 minutes.' },
    ],
    verdict: 'wait',
    when: [
      { text: 'Go at 26 °C, or if it keeps rising.', onlyKinds: COLD },
      { text: 'Go at 30 °C, or if it keeps rising.' },
    ],
  },
  {
    slug: 'too-cold',
    says: 'The water is too cold',
    tell: [
      { text: 'Check with a second thermometer.' },
      { text: 'If the heater is under water and whole, switch it on.', onlyWith: ['heater'] },
      { text: 'Warm the room. No kettles of hot water.' },
    ],
    verdict: 'wait',
    when: [{ text: 'Go below 21 °C in a tropical tank, or if it keeps falling.' }],
  },
  {
    slug: 'cup-overflows',
    says: 'The skimmer cup overflows',
    onlyWith: ['protein-skimmer'],
    tell: [
      { text: 'Unplug the plug marked SKIMMER, and no other.' },
      { text: 'Empty the cup into a toilet.' },
      { text: 'Is the water in the tank still moving?' },
    ],
    verdict: 'wait',
    when: [{ text: 'Go if the water does not move.' }],
  },
  {
    slug: 'dead-fish',
    says: 'A fish is dead',
    tell: [
      { text: 'Do the others breathe fast? Then do as for gasping fish.' },
      { text: 'Count them, and take a photo.' },
      { text: 'Net it out.', onlyWhere: 'nothing-stings' },
      { text: 'Leave it in: something in this tank can hurt you.', onlyWhere: 'stinging' },
    ],
    verdict: 'wait',
    when: [{ text: 'Go for two or more.' }],
  },
  {
    slug: 'cloudy',
    says: 'The water is cloudy',
    tell: [
      { text: 'How do the fish breathe?' },
      { text: 'What went into the tank today?' },
      AIR,
      { text: 'If it is white: unplug the plug marked DOSING.', onlyWith: ['dosing-pump'], onlyKinds: MARINE },
      { text: 'No water change.' },
    ],
    verdict: 'wait',
    when: [{ text: 'Go if they gasp, or if too much of something went in.' }],
  },
]

export type CalledTank = { tankKind?: TankKind | undefined; fitted: readonly string[]; stings: boolean }

/** The scripts for a tank: what it does not have is left out, and of two limits the one of its kind is said. */
export function phoneScriptsFor({ tankKind, fitted, stings }: CalledTank): PhoneScript[] {
  const fits = ({ onlyWith, onlyKinds, onlyWhere }: Omit<PhoneStep, 'text'>) =>
    (!onlyWith || onlyWith.some((slug) => fitted.includes(slug))) &&
    (!onlyKinds || (tankKind !== undefined && onlyKinds.includes(tankKind))) &&
    (!onlyWhere || (onlyWhere === 'stinging') === stings)
  return SCRIPTS.filter(fits).map((script) => {
    const own = script.when.filter((step) => step.onlyKinds && fits(step))
    const when = own.length > 0 ? own : script.when.filter((step) => !step.onlyKinds && fits(step))
    return { ...script, tell: script.tell.filter(fits), when }
  })
}

/** The slugs of all scripts, for whoever writes a call down. */
export const PHONE_SIGNS: readonly string[] = SCRIPTS.map(({ slug }) => slug)

/** What they say, in words; null for a slug that is none. */
export function phoneSignWords(slug: string): string | null {
  return SCRIPTS.find((script) => script.slug === slug)?.says ?? null
}

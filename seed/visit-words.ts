/** What technicians and clients of the demo say. Invented. */
export type ModeWords = { symptom: string; cause: string; remedy: string; asLeft: string; told: string }

const words = (symptom: string, cause: string, remedy: string, asLeft: string, told: string): ModeWords => ({
  ...{ symptom, cause, remedy, asLeft, told },
})

export const MODE_WORDS: Readonly<Record<string, ModeWords>> = {
  'protein-skimmer/wheel-clogged': words(
    'Foam height wanders',
    'Strands of macroalgae round the wheel',
    'Opened the pump, cleared the wheel',
    'Foam steady half-way up the neck',
    'The foam filter was clogged and is clear again.',
  ),
  'protein-skimmer/impeller-film': words(
    'Foam level drifts down over the day',
    'Film on magnet and impeller housing',
    'Brushed magnet and impeller housing',
    'Runs quietly',
    'The foam filter’s pump was cleaned.',
  ),
  'protein-skimmer/air-line-restricted': words(
    'Little suction at the air hose',
    'Salt in the nozzle',
    'Flushed with warm fresh water',
    'Draws air freely',
    'The foam filter draws air freely again.',
  ),
  'return-pump/impeller-scale': words(
    'Less flow, pump warm',
    'Scale on the impeller',
    'Soaked and brushed',
    'Full flow',
    'The main pump was cleaned.',
  ),
  'return-pump/strainer-blocked': words('Flow down', 'Leaves and snails', 'Cleared', 'Full flow', ''),
  'circulation-pump/impeller-coralline': words(
    'Weak, hums',
    'Coralline on the impeller',
    'Soaked and brushed',
    'Full swing',
    'The current pumps were cleaned.',
  ),
  'heater/reads-off': words(
    'Second thermometer differs by more than 1 °C',
    'Thermostat drifted',
    'New heater',
    'Agrees with the second thermometer',
    'The heater was replaced by a new one.',
  ),
  'dosing-pump/tube-tired': words(
    'Rate off by more than 10 %',
    'Tube flattened',
    'New tube, calibrated',
    'Doses as set',
    'The dosing pump got a new tube.',
  ),
  'dosing-pump/calibration-off': words('Measured dose differs', 'Drift', 'Calibrated', 'Doses as set', ''),
  'auto-top-up/sensor-fouled': words(
    'Level wanders',
    'Film on the sensor',
    'Wiped, tested that it stops',
    'Stops at its mark',
    '',
  ),
  'external-filter/media-clogged': words(
    'Flow down',
    'Mechanical media full',
    'Rinsed in tank water',
    'Full flow',
    'The filter was rinsed.',
  ),
  'uv-steriliser/lamp-past-hours': words(
    'Hours run out',
    '',
    'New lamp',
    'Lit, seen at the sight glass',
    'The UV lamp was changed.',
  ),
  'led-light/dust': words('Fan loud', 'Dust on the fins', 'Blown out', 'Quiet', ''),
  'carbon-dioxide-set/diffuser-clogged': words(
    'Coarse bubbles',
    'Algae on the disc',
    'Soaked and rinsed',
    'Fine mist',
    '',
  ),
  'carbon-dioxide-set/cylinder-empty': words(
    'Weight near empty',
    '',
    'Cylinder exchanged',
    'Bubble count as before',
    'The CO2 cylinder was exchanged.',
  ),
}

/** What calls somebody out, and what is done there. None of it starts a life of the truth. */
export const CALL_OUTS = [
  {
    equipmentClass: 'protein-skimmer',
    mode: 'protein-skimmer/out-of-tune',
    task: 'protein-skimmer/tune',
    whatFor: 'Skimmer cup overflows',
    words: 'Staff found water round the cabinet.',
  },
  {
    equipmentClass: 'external-filter',
    mode: 'external-filter/seal-tired',
    task: 'external-filter/replace-seal',
    whatFor: 'Filter weeps at the lid',
    words: 'A puddle below the filter this morning.',
  },
] as const

export const PROMISES = [
  'Bring the part that was missing',
  'Look at the foam again',
  'Test alkalinity again and set the dose',
  'Send a price for a second heater',
  'Tidy the cables in the cabinet',
]
export const LEFT_EARLY = [
  'Called away to a leak at another client; skimmer left off, dry and safe.',
  'Building closed for a fire drill; skimmer left off.',
]
export const NO_ACCESS = ['Nobody answered, key not in the safe.', 'Closed for a private party.']
export const CUT_SHORT = 'Only twenty minutes before the room was needed; glass not done.'
export const NOTES_FOR_CLIENT = [
  'Animals well and feeding.',
  'All well. Please feed a little less at the weekend.',
  'Water tested and written down. Glass cleaned.',
  'Everything runs as it should. Two new snails are out on the front glass.',
]
export const NOTES_FOR_US = [
  'Cabinet hinge loose, bring a screwdriver.',
  'Manager asks about a bigger tank next year.',
  'Parking only behind the house now.',
]

/** What clients ask for, in their own words. */
export const REQUESTS = [
  { client: 0, words: 'The foam thing in the lobby gurgles at night. Can someone come before the weekend?' },
  { client: 1, words: 'One of the orange fish hides in the corner and has not eaten since Sunday.' },
  { client: 0, words: 'We have guests next week: could the glass be done the day before, please?' },
] as const
export const ANSWERED_REQUEST = {
  client: 1,
  words: 'The light comes on an hour late since the power cut.',
  answer: 'We set the clock at the last visit. Thank you for telling us.',
} as const
export const BOOKED_REQUEST = {
  client: 0,
  words: 'Could somebody show our new night porter how much to feed?',
  answer: 'Gladly: we come by with measured portions.',
} as const

// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { FRESH } from '../../catalogue/define'
import { defineFamily } from '../define'

export const fishBreathingFast = defineFamily({
  slug: 'fish-breathing-fast',
  sign: 'Fish breathe fast',
  lookAgainDays: 1,
  first: [
    {
      text: 'Air on first, then ask. Where CO2 is fitted, shut its valve at the same time.',
      off: ['carbon-dioxide-set'],
      cautions: ['gas'],
    },
    'Smell of paint or gas: people out, windows open.',
    'No feeding and no medicine until the cause is known.',
  ],
  causes: {
    'low-oxygen': {
      share: 30,
      name: 'Low oxygen: pump off, still surface, heat',
      remedy: 'Pumps back on, surface moving, temperature brought down slowly.',
      minutes: 8,
      seenBy: 'surface',
      cautions: ['stopped-filter'],
    },
    'gill-parasite': {
      share: 20,
      name: 'Gill parasite or other disease',
      remedy: 'Call a vet. A separate tank for the sick. No medicine in a reef.',
      minutes: 20,
      seenBy: 'torch',
      cautions: ['medicines'],
    },
    'ammonia-or-nitrite': {
      share: 18,
      name: 'Ammonia, or nitrite in fresh water',
      remedy:
        'Change 25 to 50 % with matched, safe water; in a long-neglected tank 10 %, repeated. Never raise pH with ammonia present.',
      minutes: 40,
      seenBy: 'ammonia',
      cautions: ['chlorine-water'],
    },
    'carbon-dioxide': {
      share: 10,
      name: 'Too much CO2',
      remedy: 'CO2 stays off, air on. Find out why the gas ran on.',
      minutes: 10,
      seenBy: 'gas-timing',
      mode: 'carbon-dioxide-set/solenoid-sticks',
      tanks: ['planted'],
      cautions: ['gas', 'gas-cylinder'],
    },
    chlorine: {
      share: 7,
      name: 'Chlorine from tap water',
      remedy: 'Dechlorinate for the whole volume. No change from the suspect tap.',
      minutes: 10,
      seenBy: 'chlorine',
      cautions: ['chlorine-water'],
    },
    poison: {
      share: 5,
      name: 'Spray, paint, copper, cleaner',
      remedy: 'Remove the source, air the room, fresh carbon, matched change from safe water.',
      minutes: 40,
      seenBy: 'changed',
      cautions: ['chlorine-water'],
    },
    shock: {
      share: 5,
      name: 'Shock after a change, or the sand was disturbed',
      remedy: 'Leave the tank in peace, air on, temperature and salinity compared with before.',
      minutes: 10,
      seenBy: 'changed',
      cautions: ['old-sand'],
    },
  },
  checks: {
    surface: {
      ask: 'Is the surface moving, do all pumps run, what is the temperature?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { bad: ['Still surface, pump off or too warm', ['low-oxygen']], good: ['All well', 'rest'] },
    },
    'how-many': {
      ask: 'All fish at once, or one kind over days?',
      kind: 'ask',
      minutes: 1,
      answers: {
        'all-at-once': [
          'All at once',
          ['low-oxygen', 'ammonia-or-nitrite', 'carbon-dioxide', 'chlorine', 'poison', 'shock'],
        ],
        'over-days': ['One kind, over days', ['gill-parasite']],
        unclear: ['Some of several kinds', 'rest'],
      },
    },
    changed: {
      ask: 'What was added, sprayed, painted, changed or dug up?',
      kind: 'ask',
      minutes: 1,
      answers: {
        water: ['Tap water or a water change', ['chlorine', 'shock']],
        sprayed: ['Spray, paint, cleaner, metal', ['poison'], 'Air the room. Paint or gas in the air: people out.'],
        'in-the-air': [
          'Paint or gas still in the air',
          ['poison'],
          'People out, windows open. Nobody works here until the air is clear.',
          { ends: true },
        ],
        stirred: ['Sand or gravel was stirred', ['shock', 'ammonia-or-nitrite']],
        animals: ['New animals', ['gill-parasite']],
        nothing: ['Nothing', 'rest'],
      },
    },
    'gas-timing': {
      ask: 'Was the CO2 valve open at night, or is the indicator yellow?',
      kind: 'look',
      minutes: 1,
      tanks: ['planted'],
      cautions: ['gas'],
      answers: {
        yes: ['Open, or yellow', ['carbon-dioxide'], 'Valve shut now.', { off: ['carbon-dioxide-set'] }],
        no: ['Neither', 'rest'],
      },
    },
    chlorine: {
      ask: 'Total chlorine in the tank?',
      kind: 'measure',
      minutes: 1,
      hit: 0.95,
      answers: {
        some: ['Above 0', ['chlorine'], 'No water change from this tap.'],
        none: ['0', 'rest'],
      },
    },
    ammonia: {
      ask: 'Ammonia and pH?',
      kind: 'measure',
      minutes: 6,
      hit: 0.95,
      after: ['chlorine'],
      answers: { some: ['Above 0', ['ammonia-or-nitrite'], 'Never raise pH now.'], none: ['0', 'rest'] },
    },
    nitrite: {
      ask: 'Nitrite?',
      kind: 'measure',
      minutes: 3,
      tanks: FRESH,
      hit: 0.9,
      answers: { some: ['Above 0', ['ammonia-or-nitrite']], none: ['0', 'rest'] },
    },
    torch: {
      ask: 'Torch along the flank: dust, spots, pale gills?',
      kind: 'look',
      minutes: 2,
      answers: { yes: ['Dust, spots or pale gills', ['gill-parasite']], no: ['Nothing', 'rest'] },
    },
    dead: {
      ask: 'Look for the dead, behind and under things.',
      kind: 'touch',
      minutes: 5,
      answers: { found: ['Found one', ['ammonia-or-nitrite', 'gill-parasite']], none: ['None', 'rest'] },
    },
  },
  leaving: [
    'Air stays on. Somebody on site counts breaths this evening and knows whom to ring.',
    ['Not known, or disease: a vet. Medicines by the label and the vet.', 'medicines'],
  ],
})

// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const fishWithSpots = defineFamily({
  slug: 'fish-with-spots',
  sign: 'Fish with spots',
  first: ['This stop goes last today. Tools are disinfected before the next tank.'],
  causes: {
    'white-spot': {
      share: 45,
      name: 'White spot',
      remedy: 'Separate tank, treatment by the label and a vet. Carbon and UV off while treating.',
      minutes: 25,
      seenBy: 'spots',
      cautions: ['medicines'],
    },
    'not-parasitic': {
      share: 18,
      name: 'Not parasitic: lumps, sand, mating marks',
      remedy: 'Leave the fish in peace, photo, look again at the next visit.',
      minutes: 4,
      seenBy: 'spots',
    },
    velvet: {
      share: 12,
      name: 'Velvet',
      remedy: 'Hours matter: a vet today, separate tank, light down, air on.',
      minutes: 25,
      seenBy: 'spots',
      cautions: ['medicines'],
    },
    bacterial: {
      share: 10,
      name: 'Bacterial',
      remedy: 'Photo for the vet, separate tank, clean water.',
      minutes: 20,
      seenBy: 'spots',
      cautions: ['medicines'],
    },
    flukes: {
      share: 7,
      name: 'Flukes',
      remedy: 'A vet confirms. Separate tank.',
      minutes: 20,
      seenBy: 'breaths',
      cautions: ['medicines'],
    },
  },
  checks: {
    'new-animal': {
      ask: 'A new animal within six weeks?',
      kind: 'ask',
      minutes: 1,
      answers: { yes: ['Yes', ['white-spot', 'velvet', 'flukes']], no: ['No', 'rest'] },
    },
    breaths: {
      ask: 'Count breaths a minute: fast?',
      kind: 'look',
      minutes: 1,
      answers: { fast: ['Fast', ['velvet', 'flukes', 'white-spot']], calm: ['Calm', 'rest'] },
    },
    spots: {
      ask: 'Torch along the flank: what are the spots like?',
      kind: 'look',
      minutes: 2,
      answers: {
        dust: ['Fine gold dust', ['velvet'], 'Hours matter: ring the vet now.'],
        grains: ['Salt grains that come and go', ['white-spot']],
        lump: ['A fixed lump, sand or a mating mark', ['not-parasitic']],
        sore: ['Sore or ragged', ['bacterial']],
        unclear: ['Something else', 'rest'],
      },
    },
    water: {
      ask: 'Ammonia and temperature?',
      kind: 'measure',
      minutes: 6,
      answers: { bad: ['Ammonia, or temperature off', ['bacterial']], good: ['Both right', 'rest'] },
    },
  },
  leaving: [
    ['Photo for the vet. No copper where there are invertebrates.', 'medicines'],
    'Nothing wet goes from this tank to another.',
  ],
})

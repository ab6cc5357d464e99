/**
 * Cautions, each tied to the step it belongs to and to no other: a warning at the wrong step teaches people to ignore it.
 * They do not replace local codes, licensed trades, a doctor or a vet, and say so where it matters.
 */
export type CautionSlug =
  | 'wet-electrics'
  | 'plug-out'
  | 'test-button'
  | 'fixed-wiring'
  | 'heater-off-first'
  | 'heater-cool-down'
  | 'acid'
  | 'bleach'
  | 'calcium-chloride-heat'
  | 'lime-dust'
  | 'soda-eyes'
  | 'feeds-fire'
  | 'dosing-fluid'
  | 'palytoxin'
  | 'venomous-animals'
  | 'cuts'
  | 'gas'
  | 'gas-cylinder'
  | 'ozone'
  | 'mouth'
  | 'air-nozzle'
  | 'lifting'
  | 'alone'
  | 'magnets'
  | 'uv-lamp'
  | 'lamp-mercury'
  | 'sharps-counted'
  | 'medicines'
  | 'no-release'
  | 'rinse-place'
  | 'dust-over-water'
  | 'refrigerant'
  | 'stopped-filter'
  | 'chlorine-water'
  | 'siphon-back'
  | 'old-sand'

export type Caution = {
  slug: CautionSlug
  text: string
  /** A published source, or the honest mark of there being none. */
  source: string
}

const COMMON = 'common practice, no source'

const TEXTS: Record<CautionSlug, readonly [text: string, source: string]> = {
  'wet-electrics': [
    'Water where it should not be, or a cracked heater: hands out, do not step in it. Off at the fuse board or isolator with dry hands, then unplug, then touch.',
    COMMON,
  ],
  'plug-out': [
    'Isolate before opening or lifting: off means the plug out and in sight. Timers, feed pauses, thermostats and battery back-ups restart by themselves. A residual-current (ground-fault) device never makes hands in a live tank safe.',
    COMMON,
  ],
  'test-button': [
    'Press the test button only at the start of a visit, after asking what else hangs on that circuit, and never where clinical, care or kitchen equipment may.',
    COMMON,
  ],
  'fixed-wiring': [
    'Fixed wiring, a loose socket too, is for a qualified, registered electrician; local wiring rules apply. Report a loose socket as a hazard. A residual-current device is there and tested.',
    COMMON,
  ],
  'heater-off-first': ['Heater off at the plug first, before the level drops below it.', COMMON],
  'heater-cool-down': [
    'Heater off at the plug. Let it cool in the water for 15 to 20 minutes, 30 for a large one, then lift it out.',
    COMMON,
  ],
  acid: [
    'Soak in vinegar or citric acid for scale: gloves and eye protection, never together with bleach or another chlorine product, which makes a poisonous gas. Rinse before refitting. Hydrochloric acid is never used at a client’s.',
    COMMON,
  ],
  bleach: [
    'Chlorine product: air the room, gloves and eye protection, never together with vinegar, citric acid or another descaler, which makes a poisonous gas. Rinse, then neutralise and test for zero chlorine before it meets the tank.',
    COMMON,
  ],
  'calcium-chloride-heat': [
    'Calcium chloride gets hot as it dissolves: powder into cold water, a little at a time.',
    COMMON,
  ],
  'lime-dust': ['Lime is a caustic dust: gloves, eyes, no fan. It burns skin and lungs.', COMMON],
  'soda-eyes': [
    'Sodium carbonate hurts eyes and lifts the pH fast: eye protection, dissolve it first, pour slowly where water moves.',
    'Regulation (EC) 1272/2008, annex VI: eye irritation, category 2 (from memory)',
  ],
  'feeds-fire': [
    'Potassium nitrate feeds a fire: keep it closed, dry and away from heat and anything that burns. Local rules may limit how much you may carry.',
    'GHS hazard statement H272 of its safety data sheets (from memory)',
  ],
  'dosing-fluid': [
    'What is dosed may be caustic or acid: gloves and eye protection, pump plug out, and the end of the line in a cup before it is opened. Rinse spills away with plenty of water.',
    COMMON,
  ],
  palytoxin: [
    'Identify before you remove: some zoanthid-type corals carry palytoxin. Gloves and eye protection, keep them wet, no hot water, no brushing or scraping out of the water, no vacuum. Clear and air the room. Symptoms can come hours later and in the next room too: call the emergency services.',
    'MMWR 2015;64:852',
  ],
  'venomous-animals': [
    'Venomous animals in this tank. After a sting: water as hot as can be borne, at most 45 °C, for 30 to 90 minutes, tested with the other hand, then a doctor. Stonefish, ray, a wound to the trunk, faintness or breathing trouble: ambulance.',
    'Atkinson 2006, Emerg Med J 23:503',
  ],
  cuts: [
    'Cover cuts before hands go in. Redness that spreads or fever within two days is an emergency. A lump weeks to months later: tell the doctor that you work with aquariums.',
    'Jernigan & Farr 2000, Clin Infect Dis 31:439',
  ],
  gas: [
    'Carbon dioxide gathers in cellars and closed cabinets without a smell: gas detector on, door open, air the room before you lean in.',
    COMMON,
  ],
  'gas-cylinder': [
    'Cylinder upright and chained. Valve shut before the regulator comes off, a new washer, then a leak test with soapy water.',
    COMMON,
  ],
  ozone: ['Ozone off and the room aired before you lift, feel or listen to anything it feeds.', COMMON],
  mouth: ['Never by mouth: neither a nozzle nor a siphon.', COMMON],
  'air-nozzle': ['Skimmer off before air goes through its nozzle.', COMMON],
  lifting: ['Two people or a pump for what is heavy; ladder on firm ground and held.', COMMON],
  alone: ['Alone without signal: agree a time to check in before you go down.', COMMON],
  magnets: ['Strong magnets: fingers out of the gap, and keep them away from a pacemaker.', COMMON],
  'uv-lamp': [
    'Never look at a lit UV lamp: plug out before the housing is opened. A spent lamp is mercury waste.',
    COMMON,
  ],
  'lamp-mercury': [
    'A broken lamp sets mercury free: people out, air the room, no vacuum cleaner, collect it for hazardous waste as local rules say.',
    COMMON,
  ],
  'sharps-counted': ['Children or patients about: count blades, reagents and tools out and back in.', COMMON],
  medicines: ['Medicines by the label and a vet. No copper where there are invertebrates.', COMMON],
  'no-release': ['Never release stock, plants or their water. Freeze macroalgae, then bin it.', COMMON],
  'rinse-place': ['Never rinse in a sink used for food or for washing hands.', COMMON],
  'dust-over-water': ['Unplug first. Vacuum or brush the dust away; never blow it over open water.', COMMON],
  refrigerant: ['The refrigerant circuit is for licensed people only: do not open it.', COMMON],
  'stopped-filter': [
    'Stopped for more than about two hours: do not just restart. Empty it, smell it, rinse it; what stood in it can poison the tank.',
    COMMON,
  ],
  'chlorine-water': ['Fresh tap water: dechlorinate for the volume and test for zero total chlorine first.', COMMON],
  'siphon-back': [
    'Mind which way water runs when the pump stops: outlet above the water, siphon-break hole free.',
    COMMON,
  ],
  'old-sand': [
    'Old deep sand is never stirred: what is under it can kill the tank. A third of the shallow part at a time.',
    COMMON,
  ],
}

/** The text of one caution, for a task that names it. */
export function findCaution(slug: CautionSlug): Caution {
  const [text, source] = TEXTS[slug]
  return { slug, text, source }
}

export const CAUTION_SLUGS = Object.keys(TEXTS) as CautionSlug[] // keys of the record above, by its type

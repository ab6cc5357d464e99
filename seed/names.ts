/** Invented people and places; nobody's. Telephone numbers of the range kept free for such use, mail under `.example`. */
export const BUSINESS_NAME = 'Harbour Lane Aquarium Care'
export const TOWN = 'Port Ellery'
export const TIME_ZONE = 'Europe/London'
export const DEMO_PASSWORD = 'harbour lane demo'

export type DemoPerson = { key: string; name: string; role: string; email: string; phone: string }

export const OWNER: DemoPerson = {
  key: 'owner',
  name: 'Nora Castleden',
  role: 'Owner',
  email: 'nora@harbourlane.example',
  phone: '01632 960101',
}
export const TECHNICIANS: readonly DemoPerson[] = [
  { key: 'priya', name: 'Priya Lennox', role: 'Technician', email: 'priya@harbourlane.example', phone: '01632 960102' },
  {
    key: 'tomas',
    name: 'Tomas Arkwell',
    role: 'Technician',
    email: 'tomas@harbourlane.example',
    phone: '01632 960103',
  },
  { key: 'ines', name: 'Ines Hallam', role: 'Technician', email: 'ines@harbourlane.example', phone: '01632 960104' },
]
export const ACCOUNTANT: DemoPerson = {
  key: 'accountant',
  name: 'Gwen Sandford',
  role: 'Accountant',
  email: 'gwen@harbourlane.example',
  phone: '01632 960105',
}
/** The people of the first two clients. */
export const CLIENT_PEOPLE: readonly DemoPerson[] = [
  { key: 'client-0', name: 'Rowan Teale', role: 'Client', email: 'rowan@pebblequay.example', phone: '01632 960201' },
  { key: 'client-1', name: 'Edda Marlow', role: 'Client', email: 'edda@lanternwharf.example', phone: '01632 960202' },
]
export const ALL_PEOPLE = [OWNER, ...TECHNICIANS, ACCOUNTANT, ...CLIENT_PEOPLE]

export const CLIENT_KINDS =
  'Dental Practice, Noodle Bar, Primary School, Public Library, Law Office, Care Home, Bakery, Showroom, Barber, Tea Room, Surgery, Hotel, Museum, Household'.split(
    ', ',
  )
const FIRST =
  'Amble Bracken Cobble Drift Elder Fennel Gorse Heron Isle Juniper Kelp Marram Nettle Otter Quill Sorrel Thrift Umber Vetch Willow Yarrow'.split(
    ' ',
  )
const LAST = ['Lane', 'Quay', 'Row', 'Yard', 'Mews', 'Steps', 'Wharf', 'Green']
export const STREETS = FIRST.flatMap((first) => LAST.map((last) => `${first} ${last}`))
/** The two clients who can sign in. */
export const SIGNING_CLIENTS = [
  { street: 'Pebble Quay', kind: 'Hotel' },
  { street: 'Lantern Wharf', kind: 'Dental Practice' },
] as const
export const PLACES = ['Reception', 'Hall', 'Bar', 'Upstairs', 'Waiting room', 'Front window', 'Lounge', 'Corridor']
export const CONTACT_NAMES =
  'Ada Bramley, Ben Coulter, Cass Dunmore, Dov Ellwood, Esme Farrow, Finn Garland, Greta Holt, Hal Ingram, Iris Jessop, Joss Kerr, Kit Lowther, Lena Mossop'.split(
    ', ',
  )
export const ACCESS_NOTES = [
  'Key in the safe by the side door; ask reception for the code.',
  'Bell is broken: knock at the kitchen window.',
  'Alarm panel left of the door, ask on arrival. Park in the yard behind.',
  'Dog in the house, friendly; keep the garden gate shut.',
  'Not before the breakfast service is over.',
  'Sign in at the desk and wear the badge.',
  'Cabinet opens to the left; mind the low beam above it.',
  '',
]

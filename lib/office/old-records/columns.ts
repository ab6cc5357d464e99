/** The fields of the four kinds of file and the headings by which they are known. Pure. */
import { plainWords } from '../frame/plain-words'
import type { FileKind } from './schema'

export type Field = { label: string; required: boolean; headings: readonly string[] }

const field = (label: string, headings: string): Field => ({ label, required: false, headings: headings.split(', ') })
const required = (label: string, headings: string): Field => ({ ...field(label, headings), required: true })

const CLIENT = 'client, client name, customer, customer name, account, kunde, klant, cliente'
const TANK = 'tank, tank name, aquarium, aquarium name, becken, acuario, aquario, acquario'
const ADDRESS = 'address, site, site address, street address, location, adresse, adres, direccion, indirizzo'
const COMMENT =
  'comment, comments, note, notes, remark, remarks, bemerkung, kommentar, commentaire, opmerking, comentario'

/** In plain words (see `plainWords`): headings are compared without capitals, accents and punctuation. */
export const FIELDS: Readonly<Record<FileKind, Readonly<Record<string, Field>>>> = {
  clients: {
    name: required('Client', `name, company, business name, naam, nom, nombre, nome, ${CLIENT}`),
    email: field('E-mail', 'email, e mail, mail, email address, e mail address, correo'),
    phone: field('Telephone', 'phone, telephone, tel, phone number, mobile, telefon, telefoon, telefono'),
    terms: field('Payment terms', 'terms, payment terms, payment, payment days, zahlungsziel'),
    address: field('Address', ADDRESS),
    lat: field('Latitude', 'lat, latitude, breite, breitengrad'),
    lon: field('Longitude', 'lon, lng, long, longitude, lange, langengrad'),
  },
  tanks: {
    client: required('Client', CLIENT),
    name: required('Tank', `name, ${TANK}`),
    kind: field('Kind of tank', 'kind, type, tank type, tank kind, kind of tank, water, art, tipo'),
    volume: field('Volume', 'volume, vol, litres, liters, size, capacity, volumen, inhalt, inhoud'),
    refugium: field('Refugium', 'refugium, has refugium, algenrefugium'),
    every: field(
      'Weeks between visits',
      'every, cadence, frequency, interval, visit every, weeks between visits, weeks',
    ),
    address: field('Address', ADDRESS),
  },
  equipment: {
    client: field('Client', CLIENT),
    tank: required('Tank', TANK),
    equipment: required(
      'Equipment',
      'equipment, device, equipment type, equipment class, class, gerat, apparat, equipo',
    ),
    label: field('Label', 'label, mark, device name, position'),
    installed: field(
      'Installed',
      'installed, install date, installed on, date installed, in use since, installiert, einbau',
    ),
  },
  visits: {
    date: required('Date', 'date, visit date, day, visited, visited on, datum, fecha, data'),
    technician: field('Technician', 'technician, tech, by, visited by, done by, staff, techniker, technicien, tecnico'),
    client: field('Client', CLIENT),
    tank: required('Tank', TANK),
    kind: field('Kind of visit', 'kind, visit kind, visit type, type, kind of visit, art, tipo'),
    minutes: field('Minutes', 'minutes, mins, min, duration, time on site, time spent, minuten, minutos, minuti'),
    equipment: field('Equipment', 'equipment, device, equipment type, equipment class, class, gerat, apparat, equipo'),
    looked_at: field('Looked at', 'looked at, checked, mode, failure mode, item, what was looked at, inspected'),
    as_found: field('As found', 'as found, found, condition, condition as found, state, finding, befund, zustand'),
    done: field('Done', 'done, work done, action, action taken, what was done, what done, work, erledigt'),
    part: field('Part', 'part, parts, part used, parts used, teil, ersatzteil, pieza'),
    readings: field('Readings', 'readings, reading, tests, test results, water tests, water readings, messwerte'),
    comment: field('Comment', COMMENT),
  },
}

export type ColumnMatch = { header: string; field: string | null; headerUnit: string }

const UNIT = /[([]([^)\]]*)[)\]]\s*$/

/** The field of `kind` that a heading names, with the unit written behind it ("Volume (gal)"); null where none is known. */
export function fieldOfHeading(kind: FileKind, header: string): { field: string | null; headerUnit: string } {
  const whole = plainWords(header)
  const unit = UNIT.exec(header)?.[1] ?? ''
  const bare = plainWords(header.replace(UNIT, ''))
  for (const [name, { headings }] of Object.entries(FIELDS[kind])) {
    if (headings.includes(whole)) return { field: name, headerUnit: '' }
    if (unit !== '' && headings.includes(bare)) return { field: name, headerUnit: unit }
  }
  return { field: null, headerUnit: '' }
}

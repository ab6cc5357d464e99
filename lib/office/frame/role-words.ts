import type { Action } from './role-actions'

/** What is said to somebody whose role does not allow an action; the screens offer it to nobody else. */
const ROLE_WORDS: Readonly<Partial<Record<Action, string>>> = {
  'plan.change': 'Only the owner changes the plan.',
  'register.change': 'Only the owner changes the register.',
  'records.import': 'Only the owner brings old records and takes them back.',
  'due.change': 'Only the owner sets intervals and costs.',
  'faults.change': 'Only the owner and technicians decide remedies.',
  'parts.change': 'Only the owner and technicians change parts, lots and stock.',
  'visit.log': 'Only the owner and technicians log visits, levels and promises.',
  'photo.add': 'Only the owner and technicians add and change photos.',
  'money.change': 'Only the owner changes invoices and prices.',
  'payment.record': 'Only the owner and accountants record payments.',
  'people.change': 'Only the owner changes people and who may sign in.',
  'settings.change': 'Only the owner changes the settings.',
  'record.ask': 'Only people of a client ask for visits here.',
}

/** The words of a refusal. */
export function roleWords(action: Action): string {
  return ROLE_WORDS[action] ?? 'Your role does not allow this.'
}

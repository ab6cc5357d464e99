import 'server-only'
import { asDbDate } from '../frame/days'
import { invalid } from '../frame/result'

/** A refusal naming the first of these days that is still to come; blank days pass. */
export function inTheFuture(days: Readonly<Record<string, string>>, today: string) {
  const late = Object.entries(days).find(([, day]) => day > today)
  return late ? invalid({ [late[0]]: ['This day is still to come. Enter it when it has happened.'] }) : null
}

/** The day a device has been in use since, as typed; blank where it is said to be unknown. */
export function installedDay(device: { installed: 'on' | 'unknown'; installedOn: string }): string {
  return device.installed === 'on' ? device.installedOn : ''
}

/** Columns of a device as typed. We have watched it since `seenOn`, or since it went in where that was later. */
export function deviceColumns(
  device: { label: string; installed: 'on' | 'unknown'; installedOn: string; confirmedNew: boolean; note: string },
  seenOn: string,
) {
  const installedOn = device.installed === 'on' ? device.installedOn : null
  return {
    label: device.label,
    note: device.note,
    installedOn: installedOn === null ? null : asDbDate(installedOn),
    installedConfirmedNew: installedOn !== null && device.confirmedNew,
    firstSeenOn: asDbDate(installedOn !== null && installedOn > seenOn ? installedOn : seenOn),
  }
}

import { ButtonLink, DateWords, Empty, Sheet } from '@/components/paper'
import { DataTable } from '@/components/tables'

type Device = {
  id: string
  slotLabel: string
  label: string
  className: string
  newSince: string | null
  wasExchanged: boolean
  confirmedNew: boolean
  age: string
  removedOn: string | null
  removedBecause: string | null
  note: string
}
type Props = { tankId: string; devices: readonly Device[]; locale: string; mayChange: boolean }

/** The equipment of a tank: what is in place with its age, and below it what was taken out and why. */
export function DeviceSheet({ tankId, devices, locale, mayChange }: Props) {
  const inPlace = devices.filter((device) => device.removedOn === null)
  const removed = devices.filter((device) => device.removedOn !== null)
  const href = `/tanks/${tankId}/equipment`
  return (
    <Sheet title="Equipment" id="equipment">
      <DataTable
        caption="Equipment in place"
        captionHidden
        rows={inPlace}
        empty={<Empty title="No equipment entered">What is not entered cannot come due.</Empty>}
        columns={[
          {
            key: 'label',
            header: 'Device',
            cell: (device) => (
              <>
                {device.label}
                {device.note !== '' && <span className="soft small"> {device.note}</span>}
              </>
            ),
          },
          { key: 'class', header: 'Kind', cell: (device) => device.className },
          { key: 'age', header: 'Age', cell: (device) => ageOf(device, locale) },
          ...(mayChange
            ? [
                {
                  key: 'change',
                  header: 'Change',
                  bare: true,
                  cell: (device: Device) => (
                    <ButtonLink href={`${href}/${device.id}`} quiet>
                      Change<span className="visually-hidden"> {device.label}</span>
                    </ButtonLink>
                  ),
                },
              ]
            : []),
        ]}
      />
      {mayChange && (
        <div className="form-actions">
          <ButtonLink href={`${href}/new`}>Add a device</ButtonLink>
        </div>
      )}
      {removed.length > 0 && (
        <details>
          <summary>Taken out: {removed.length}</summary>
          <ul>
            {removed.map((device) => (
              <li key={device.id}>
                {device.label}, <DateWords date={device.removedOn ?? ''} style="date" locale={locale} />
                {device.removedBecause !== null && <span className="soft">: {device.removedBecause}</span>}
              </li>
            ))}
          </ul>
        </details>
      )}
    </Sheet>
  )
}

function ageOf(device: Device, locale: string) {
  if (device.newSince === null) return <span className="soft">unknown</span>
  return (
    <>
      {device.age}, since <DateWords date={device.newSince} style="date" locale={locale} />
      {device.wasExchanged ? (
        <span className="soft small"> (exchanged)</span>
      ) : (
        !device.confirmedNew && <span className="soft small"> (as told)</span>
      )}
    </>
  )
}

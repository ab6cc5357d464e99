import { visitCommandAction } from '@/app/(field)/visits/actions'
import { CheckField } from '@/components/forms'
import { VisitLots } from '@/components/lots'
import { Sheet } from '@/components/paper'
import { VisitLevels } from '@/components/refills'
import { Cautions, TaskForm, VisitForm, VisitFrame, WaterChangeForm } from '@/components/visits'
import { VOLUME_UNIT_WORDS } from '@/lib/office/frame/typed-figures'
import { findWorkPage } from '@/lib/office/visits/queries'
import { readVisitAs } from '../read-visit'
import { PartsSheet, takesWords } from './parts-sheet'

export const metadata = { title: 'Work' }

export default async function WorkPage({ params }: { params: Promise<{ visitId: string }> }) {
  const { visit } = await readVisitAs(findWorkPage, params)
  const { devices, switchable, refills, lots } = visit
  const off = switchable.filter(({ isOff }) => isOff)
  const running = switchable.filter(({ isOff }) => !isOff)
  const isUrgent = ({ tasks }: (typeof devices)[number]) => tasks.some((task) => task.because && !task.done)
  const inOrder = [...devices.filter(isUrgent), ...devices.filter((device) => !isUrgent(device))]
  return (
    <VisitFrame {...visit} step="/work">
      <Sheet title="Switch off" tone={off.length > 0 ? 'call' : undefined}>
        {off.length > 0 && (
          <p>Off now: {off.map(({ name }) => name).join(', ')}. It comes on again in its order on Leave.</p>
        )}
        <VisitForm
          action={visitCommandAction}
          kind="visit.switch-off"
          visitId={visit.visitId}
          submit="These are off"
          plain
        >
          <details>
            <summary>What did you switch off?</summary>
            <Cautions texts={visit.cautions.off} local="Local codes and a licensed electrician go first." />
            <Cautions texts={visit.cautions.hands} local="Local emergency numbers and a doctor’s word go first." />
            {running.map(({ slug, name }) => (
              <CheckField key={slug} name="devices" value={slug} label={name} />
            ))}
          </details>
        </VisitForm>
      </Sheet>
      {inOrder.map((device) => (
        <Sheet key={device.id} title={device.label}>
          {device.tasks.length === 0 && <p className="soft">No care is known for it.</p>}
          {device.tasks.map((task) => (
            <TaskForm
              key={task.slug}
              action={visitCommandAction}
              visitId={visit.visitId}
              device={{ id: device.id, label: device.label }}
              modes={device.modes.filter(({ slug }) => task.renews.some((renewed) => renewed.slug === slug))}
              task={task}
              takes={visit.takes(device, task).map(({ part, quantity }) => takesWords(part, quantity))}
            />
          ))}
        </Sheet>
      ))}
      <WaterChangeForm
        action={visitCommandAction}
        visitId={visit.visitId}
        unit={{ value: visit.volumeUnit, words: VOLUME_UNIT_WORDS[visit.volumeUnit] }}
        salinityUnits={visit.water.quantities.find(({ quantity }) => quantity === 'salinity')?.units ?? []}
        done={visit.waterChanges}
      />
      <VisitLevels refills={refills} action={visitCommandAction} visitId={visit.visitId} locale={visit.locale} />
      <PartsSheet visit={visit} />
      <VisitLots lots={lots} action={visitCommandAction} visitId={visit.visitId} />
    </VisitFrame>
  )
}

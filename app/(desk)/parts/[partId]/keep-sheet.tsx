import { weeksWords } from '@/components/due/due-words'
import { dateWords, Facts, quantityWords, Sheet, Why } from '@/components/paper'
import { amount, DemandChart } from '@/components/parts'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import type { Advised, PartView } from './part-views'

type Props = { part: PartView; advised: Advised }

/** So many of the likeliest devices stand on the page; a link opens the rest. */
const DEVICES_SHOWN = 20

/** How many to keep, and why: the sentence, the chances, the devices behind them. */
export function KeepSheet({ part, advised }: Props) {
  const { partId, locale, today, asked } = part
  const { unit } = part.typed
  const {
    forecast,
    coverDays,
    keepAtLeast,
    orderNow,
    lastsChance,
    perYear,
    cheapest,
    onHand,
    onOrder,
    devices,
    deviceCount,
  } = advised
  const shown = asked.devices === 'all' ? devices : devices.slice(0, DEVICES_SHOWN)
  return (
    <Sheet title="How many to keep" {...(orderNow > 0 ? { tone: 'call' as const } : {})}>
      <Why
        isOpen={asked.devices === 'all'}
        details={
          <>
            <h3>How many will be needed in {coverDays} days</h3>
            <DemandChart probabilities={forecast.probabilities} {...{ coverDays, keepAtLeast, unit }} />
            {devices.length > 0 && <p className="small">{sumWords(advised)}</p>}
            <Behind {...{ devices: shown, coverDays, locale, today }} />
            {shown.length < devices.length && (
              <p>
                <PageLink href={`/parts/${partId}?devices=all`}>List the {devices.length} likeliest devices</PageLink>
              </p>
            )}
            {deviceCount > shown.length && (
              <p className="soft small">
                The {shown.length} likeliest of {deviceCount} devices are listed.
              </p>
            )}
          </>
        }
      >
        {advised.words}{' '}
        {deviceCount > 0 &&
          `${deviceCount} ${deviceCount === 1 ? 'device uses' : 'devices use'} it; about ${quantityWords({ value: forecast.mean, decimals: 1 })} will be needed in that time.`}{' '}
        What is there and on its way is enough with a chance of {percent(lastsChance)}.
      </Why>
      <Facts
        numbers
        items={[
          { term: 'On hand', value: amount(onHand, unit) },
          { term: 'On its way', value: amount(onOrder, unit) },
          { term: 'Keep at least', value: amount(keepAtLeast, unit) },
          { term: 'Order now', value: orderNow === 0 ? 'nothing' : amount(orderNow, unit) },
          {
            term: 'Likely in a year',
            value: `about ${quantityWords({ value: perYear, decimals: perYear < 10 ? 1 : 0 })}`,
          },
          {
            term: 'Cheapest at a time',
            value: cheapest === null ? 'say what one and what an order costs' : amount(cheapest, unit),
          },
        ]}
      />
    </Sheet>
  )
}

function Behind({
  devices,
  coverDays,
  locale,
  today,
}: Pick<Advised, 'devices' | 'coverDays'> & Pick<PartView, 'locale' | 'today'>) {
  if (devices.length === 0)
    return <p className="soft">No device uses it by its work; only what was used before is reckoned with.</p>
  return (
    <DataTable
      caption={`Devices that use it, the likeliest in the next ${coverDays} days first`}
      rows={devices}
      rowKey={({ equipmentId, taskName }) => `${equipmentId} ${taskName}`}
      columns={[
        {
          key: 'place',
          header: 'Tank',
          cell: ({ tankId, place }) => <PageLink href={`/tanks/${tankId}`}>{place}</PageLink>,
        },
        { key: 'device', header: 'Device', cell: ({ device }) => device },
        {
          key: 'age',
          header: 'Age',
          numeric: true,
          cell: ({ ageDays }) => weeksWords(ageDays),
        },
        {
          key: 'due',
          header: 'Due',
          cell: ({ dueOn, isOpen, isUnseen }) =>
            isOpen
              ? 'found it needed doing'
              : dueOn
                ? dateWords({ date: dueOn, style: 'date', locale, today })
                : isUnseen
                  ? 'never looked at'
                  : 'when needed',
        },
        {
          key: 'chance',
          header: `Needed within ${coverDays} days`,
          numeric: true,
          cell: ({ chance, whyHref, device, quantity }) => (
            <>
              {whyHref === null ? (
                percent(chance)
              ) : (
                <PageLink href={whyHref}>
                  {percent(chance)}
                  <span className="visually-hidden">: why, for {device}</span>
                </PageLink>
              )}
              {quantity !== 1 && <span className="soft small"> takes {quantity}</span>}
            </>
          ),
        },
        {
          key: 'visit',
          header: 'Next visit',
          cell: ({ nextVisitOn, isBooked, isCounted }) => (
            <>
              {dateWords({ date: nextVisitOn, style: 'date', locale, today })}
              {!isBooked && <span className="soft small"> not booked; as often as usual</span>}
              {!isCounted && <span className="soft small"> after these {coverDays} days: none needed before</span>}
            </>
          ),
        },
      ]}
    />
  )
}

/** What the likely number is made of, so that the rows below add up to it. */
function sumWords({ forecast, deviceCount, visitedCount, coverDays, other, otherLikely }: Advised): string {
  const one = (value: number) => quantityWords({ value: Math.max(0, value), decimals: 1 })
  const later = deviceCount - visitedCount
  const counted = visitedCount
  return [
    `About ${one(forecast.mean)} in ${coverDays} days:`,
    `${one(forecast.mean - otherLikely)} at ${counted === 1 ? '1 device' : `${counted} devices`} visited in that time, or that call for it at once`,
    other
      ? `and ${one(otherLikely)} for other uses, as ${quantityWords({ value: other.count })} went without such work in the last ${other.inDays} days.`
      : 'and none for other uses.',
    later > 0 &&
      `${later === 1 ? '1 device is' : `${later} devices are`} not visited before the ${coverDays} days are over: what ${later === 1 ? 'it needs' : 'they need'} is not in this number.`,
  ]
    .filter(Boolean)
    .join(' ')
}

const percent = (share: number) =>
  share > 0.995 ? 'nearly 100\u00a0%' : share < 0.005 ? 'under 1\u00a0%' : `${Math.round(share * 100)}\u00a0%`

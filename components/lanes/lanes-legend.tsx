import type { ReactNode } from 'react'
import { KIND_WORDS, type LaneView, MARK_KINDS } from './lane-view'
import { MarkShape } from './mark-shape'

/** What the shapes mean; only those that occur. */
export function LanesLegend({ lanes, unitWords }: { lanes: readonly LaneView[]; unitWords: string }) {
  const kinds = MARK_KINDS.filter((kind) => lanes.some((lane) => lane.marks.some((mark) => mark.kind === kind)))
  return (
    <ul className="lanes-legend">
      {kinds.map((kind) => (
        <Entry key={kind} words={KIND_WORDS[kind]}>
          <MarkShape kind={kind} />
        </Entry>
      ))}
      {lanes.some((lane) => lane.due !== undefined) && (
        <Entry words="due">
          <path className="mark-due" d="M-5.5-6H5.5L0 2ZM0 2V8" />
        </Entry>
      )}
      {lanes.some((lane) => lane.runningSince !== undefined) && (
        <Entry words="running since then">
          <path className="lane-running" d="M-12 0H12" />
        </Entry>
      )}
      {lanes.some((lane) => lane.band !== undefined) && (
        <Entry words={unitWords} width={44}>
          <path className="lane-band" d="M-21 0C-10 0-10-9 0-9S10 0 21 0C10 0 10 9 0 9S-10 0-21 0Z" />
        </Entry>
      )}
    </ul>
  )
}

function Entry({ words, width = 26, children }: { words: string; width?: number; children: ReactNode }) {
  return (
    <li>
      <svg width={width} height="24" viewBox={`${-width / 2} -12 ${width} 24`} aria-hidden="true">
        {children}
      </svg>
      {words}
    </li>
  )
}

import { MARK_KINDS, type MarkKind } from './lane-view'

/** A mark around the origin of its own small coordinate system; tick, bar, ring and diamond. */
export function MarkShape({ kind }: { kind: MarkKind }) {
  switch (kind) {
    case 'looked':
      return <path className="mark-looked" d="M0-4.5V4.5" />
    case 'renewed':
      return <path className="mark-renewed" d="M0-11V11" />
    case 'reported':
      return <circle className="mark-reported" r="10" />
    case 'found':
      return <path className="mark-found" d="M-7.5 0 0-7.5 7.5 0 0 7.5Z" />
  }
}

/** The shapes once for a whole chart: marks without words of their own refer to them. */
export function MarkShapes({ shapeId }: { shapeId: (kind: MarkKind) => string }) {
  return (
    <svg width="0" height="0" className="visually-hidden" aria-hidden="true">
      <defs>
        {MARK_KINDS.map((kind) => (
          <g key={kind} id={shapeId(kind)}>
            <MarkShape kind={kind} />
          </g>
        ))}
      </defs>
    </svg>
  )
}

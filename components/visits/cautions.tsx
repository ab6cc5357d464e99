import { Caution } from '@/components/paper'

type Props = {
  texts: readonly string[]
  /** What goes before any of them, e.g. local codes and licensed trades; said once, below the last. */
  local: string
}

/** The cautions of one step, each by itself, and once below them whose word goes first. Nothing where there is none. */
export function Cautions({ texts, local }: Props) {
  if (texts.length === 0) return null
  return (
    <>
      {texts.map((text) => (
        <Caution key={text}>{text}</Caution>
      ))}
      <p className="caution-local">{local}</p>
    </>
  )
}

import { DeskShell, type DeskShellProps } from './desk-shell'

/** The accountant's frame: the owner's, with the accountant's own few places in `nav`. */
export function BooksShell(props: DeskShellProps) {
  return <DeskShell {...props} />
}

/** A failure the person at the terminal can act on. Its message is one plain line and is printed without a stack. */
export class OperatorError extends Error {
  override name = 'OperatorError'
}

/** The same fault in the words of the person at the terminal; null when it is a bug and deserves its stack. */
export function operatorMessage(error: unknown): string | null {
  if (error instanceof OperatorError) return error.message
  if (typeof error === 'object' && error !== null && 'code' in error) {
    if (error.code === 'ENOSPC')
      return 'The disk is full. Free some space and start again; nothing that was saved is lost.'
    if ((error.code === 'EEXIST' || error.code === 'ENOTDIR') && 'path' in error)
      return `${error.path} is no folder, and one is needed there. Is TANKROUND_DATA a file?`
    if (error.code === 'EROFS') return 'The disk is read-only. Set TANKROUND_DATA to a folder that can be written to.'
    if ((error.code === 'EACCES' || error.code === 'EPERM') && 'path' in error)
      return `No right to use ${error.path}. Was Tankround started here by another user before? Start as that user, or give the folder to yours.`
  }
  return null
}

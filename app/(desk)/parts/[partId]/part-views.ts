import type { partPage } from '@/lib/office/parts/queries'

/** What the page of a part shows. */
export type PartView = NonNullable<Awaited<ReturnType<typeof partPage>>>
export type Advised = NonNullable<PartView['advised']>
/** The hidden fields of one form: a fresh command each time. */
export type HiddenOf = (more?: Record<string, string>) => Record<string, string>

import type { partPage } from '@/lib/office/parts/queries'

/** What the page of a part shows. */
export type PartView = NonNullable<Awaited<ReturnType<typeof partPage>>>
export type Advised = NonNullable<PartView['advised']>

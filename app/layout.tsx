import './globals.css'
import type { Metadata, Viewport } from 'next'
import type { ReactNode } from 'react'

export const metadata: Metadata = { title: { default: 'Tankround', template: '%s · Tankround' } }
export const viewport: Viewport = { width: 'device-width', initialScale: 1 }

// Every page shows somebody's own data; nothing is made ahead of time.
export const dynamic = 'force-dynamic'

export default function RootLayout({ children }: { children: ReactNode }) {
  return (
    <html lang="en">
      <body>{children}</body>
    </html>
  )
}

import type { NextConfig } from 'next'

const config: NextConfig = {
  // Native modules and files read at run time (fonts, workers) stay outside the bundle.
  serverExternalPackages: [
    '@node-rs/argon2',
    'pdfkit',
    'pg',
    'pg-boss',
    'sharp',
    'pino',
    '@expo-google-fonts/noto-sans',
  ],
  // `npm test` checks the types; checking them again would hold up every first start.
  typescript: { ignoreBuildErrors: true },
  poweredByHeader: false,
  // Files come by routes of their own, which the proxy lets alone; what passes through it is no larger than a form.
  experimental: { serverActions: { bodySizeLimit: '1mb' }, proxyClientMaxBodySize: '1mb' },
}

export default config

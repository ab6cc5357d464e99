/** `npm run bench`: every benchmark, one after the other, each printing ratios measured side by side in its own run. */
await import('./register-search')
await import('./visit-to-work-due')

export {}

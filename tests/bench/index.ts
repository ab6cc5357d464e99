/**
 * `npm run bench`: every benchmark, one after the other, each printing ratios measured side by side in its own run.
 * `npm run bench -- --tanks 200` for a try in a minute; the full size takes a quarter of an hour and some 8 GB of disk.
 * `npm run bench -- --screens` measures the screens of the running program instead.
 */
if (process.argv.includes('--screens')) await import('./screens/index')
else {
  await import('./register-search')
  await import('./fits-beside-r')
  await import('./rebuild')
}

export {}

/** An instrument that is out: the same cause in all families of salinity. Minutes: common practice, no source. */
export const salinityInstrument = (share: number) => ({
  share,
  name: 'The instrument is out',
  remedy: 'Set it against a 35 standard and measure again.',
  minutes: 4,
  mode: 'instruments/salinity-drifted',
  task: 'instruments/calibrate-salinity',
})

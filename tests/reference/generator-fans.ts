/**
 * Hours of seventy diesel generator fans: Nelson (1982), Applied Life Data Analysis, Wiley, p. 318; also the data set `genfan` of R's package survival.
 * The fit is R's survival 3.5-3, `survreg`; the book prints the scale as 26.2968 thousand hours and the shape as 1.0584.
 */
export const GENERATOR_FANS = {
  failedAtHours: [450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750],
  stillRunningAtHours: [
    460, 1560, 1660, 1850, 1850, 1850, 1850, 1850, 2030, 2030, 2030, 2200, 3000, 3000, 3000, 3000, 3200, 3750, 3750,
    4150, 4150, 4150, 4150, 4300, 4300, 4300, 4300, 4850, 4850, 4850, 4850, 5000, 5000, 5000, 6100, 6100, 6100, 6300,
    6450, 6450, 6700, 7450, 7800, 7800, 8100, 8100, 8200, 8500, 8500, 8500, 8750, 8750, 9400, 9900, 10100, 10100, 10100,
    11500,
  ],
  fit: {
    shape: 1.05844584994,
    scale: 26296.8451748,
    logLikelihood: -135.152719943,
    seLogScale: 0.465889661042,
    seLogShape: 0.25343853508,
  },
}

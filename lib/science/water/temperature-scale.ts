/**
 * °C on ITS-90, which every thermometer reads since 1990 → °C on IPTS-68, on which the formulas of Unesco 44 stand: 1.00024 times.
 * At 25 °C the scales are 0.006 °C apart. Source: Saunders 1990, WOCE Newsletter 10; the factor of the Unesco joint panel on tables and standards.
 */
export const toIpts68 = (celsius: number) => 1.00024 * celsius

/** °C → kelvin. */
export const toKelvin = (celsius: number) => celsius + 273.15

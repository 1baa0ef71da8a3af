/** Hoisting class: how hard a hoist takes up its load. A hoist whose class is not known is taken as HC4. */
export type HoistingClass = 'HC1' | 'HC2' | 'HC3' | 'HC4';

/** From memory of EN 13001-2 and EN 1991-3:2006 Table 2.5. */
const HOISTING_CLASSES = {
  HC1: { least: 1.05, perMPerS: 0.17 },
  HC2: { least: 1.1, perMPerS: 0.34 },
  HC3: { least: 1.15, perMPerS: 0.51 },
  HC4: { least: 1.2, perMPerS: 0.68 },
} as const satisfies Record<HoistingClass, { least: number; perMPerS: number }>;

/**
 * Load on a line while its hoist starts, as a multiple of the load at rest. Good for one constant speed: a hoist that is fast
 * or of variable speed needs its maker's figure instead.
 * @param speedMPerS  hoisting speed [m/s], not below 0
 * @source φ2 = φ2,min + β2·v, EN 13001-2 (from memory)
 */
export function hoistingFactor(hoistingClass: HoistingClass, speedMPerS: number): number {
  const { least, perMPerS } = HOISTING_CLASSES[hoistingClass];
  return least + perMPerS * speedMPerS;
}

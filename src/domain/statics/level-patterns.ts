/** Beyond this many hoists, not every pattern of high and low is solved. */
export const ALL_PATTERNS_UP_TO = 8;

/** One way the hoists may be out of level: +1 high, -1 low, in the order of the structure's hoists. */
export type LevelPattern = readonly (1 | -1)[];

/**
 * Patterns of high and low worth solving. Up to eight hoists all of them; beyond, for each hoist the two patterns that its influence
 * row makes worst (each other hoist where it adds most, and where it takes most away) and those with one hoist the other way.
 * All high or all low moves the hang as a whole and strains nothing, so those two are left out.
 * @param perMetre  change of reaction i for a metre of level j, all hoists taut [N/m]
 */
export function levelPatterns(perMetre: readonly (readonly number[])[]): { patterns: LevelPattern[]; areAll: boolean } {
  const count = perMetre.length;
  const differs = (pattern: LevelPattern) => pattern.some((sign) => sign !== pattern[0]);
  if (count <= ALL_PATTERNS_UP_TO) {
    const patterns: LevelPattern[] = [];
    for (let bits = 0; bits < 1 << count; bits++) {
      const pattern = perMetre.map((_, hoist): 1 | -1 => (((bits >> hoist) & 1) === 1 ? 1 : -1));
      if (differs(pattern)) patterns.push(pattern);
    }
    return { patterns, areAll: true };
  }
  const found = new Map<string, LevelPattern>();
  const keep = (pattern: LevelPattern) => {
    if (differs(pattern)) found.set(pattern.join(), pattern);
  };
  for (const row of perMetre) {
    const worst = row.map((change): 1 | -1 => (change >= 0 ? 1 : -1));
    for (const pattern of [worst, worst.map((sign): 1 | -1 => (sign === 1 ? -1 : 1))]) {
      keep(pattern);
      for (let flipped = 0; flipped < count; flipped++)
        keep(pattern.map((sign, hoist) => (hoist === flipped ? (sign === 1 ? -1 : 1) : sign)));
    }
  }
  return { patterns: [...found.values()], areAll: false };
}

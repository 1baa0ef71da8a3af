import { radToDeg } from '../foundation/elementary.ts';
import type { PitchRange } from './array.ts';

/** What the maker's document permits. Null = the document, as entered, does not say. */
export type PermittedConfiguration = {
  readonly document: string;
  readonly largestElementCount: number | null;
  readonly framePitch: PitchRange | null;
  /** Splays that may be pinned, one list for each kind of element by its `kind`. */
  readonly splaysRad: Readonly<Record<string, readonly number[]>> | null;
  readonly holes: readonly string[] | null;
  /** Highest wind the document covers [m/s]; 0 = indoors only. */
  readonly largestWindMPerS: number | null;
};

export type ConfigurationUsed = {
  readonly framePitchRad: number;
  readonly holes: readonly string[];
  readonly elements: readonly { readonly kind: string; readonly splayRad: number }[];
  /** 0 indoors; null = not stated. */
  readonly windMPerS: number | null;
};

export type ConfigurationRule = 'document' | 'element-count' | 'frame-pitch' | 'splay' | 'hole' | 'wind';
export type ConfigurationFinding = {
  readonly rule: ConfigurationRule;
  readonly state: 'permitted' | 'not-permitted' | 'unknown';
  /** What is used against what is permitted, in words that can be printed. */
  readonly facts: string;
};

const PITCH_SLACK_RAD = 1e-9; // rounding of degrees to radians
const SPLAY_SLACK_RAD = 1e-6; // pin holes are whole fractions of a degree, so this only forgives rounding

/**
 * Holds an array against the maker's document: forces in links, pins and frame holes are not computed here, so nothing but
 * the document can permit a configuration. No document, or a document that is silent on a rule: `unknown`.
 */
export function permittedConfiguration(used: ConfigurationUsed, permitted: PermittedConfiguration | null): ConfigurationFinding[] {
  if (permitted === null) return [{ rule: 'document', state: 'unknown', facts: 'no document of the maker is entered' }];
  const { largestElementCount, framePitch, splaysRad, holes, largestWindMPerS } = permitted;
  const count = used.elements.length;
  const findings = [
    judge('element-count', largestElementCount, (largest) => count <= largest, `${count} elements`),
    judge(
      'frame-pitch',
      framePitch,
      ({ fromRad, toRad }) => used.framePitchRad >= fromRad - PITCH_SLACK_RAD && used.framePitchRad <= toRad + PITCH_SLACK_RAD,
      `${inDegrees(used.framePitchRad)}°`,
    ),
    judge('hole', holes, (list) => used.holes.every((hole) => list.includes(hole)), used.holes.join(', ')),
    // Not indoors and no wind stated: nothing can be said, whatever the document covers.
    judge(
      'wind',
      used.windMPerS === null ? null : largestWindMPerS,
      (largest) => used.windMPerS !== null && used.windMPerS <= largest,
      used.windMPerS === null ? 'wind not stated' : `${used.windMPerS} m/s`,
    ),
  ];
  for (const [index, { kind, splayRad }] of used.elements.entries()) {
    const allowed = splaysRad !== null && Object.hasOwn(splaysRad, kind) ? (splaysRad[kind] ?? null) : null;
    const pinned = (list: readonly number[]) => list.some((one) => Math.abs(one - splayRad) <= SPLAY_SLACK_RAD);
    findings.push(judge('splay', allowed, pinned, `element ${index} at ${inDegrees(splayRad)}°`));
  }
  return findings;
}

const inDegrees = (angleRad: number) => Math.round(radToDeg(angleRad) * 1000) / 1000;

function judge<T>(rule: ConfigurationRule, permitted: T | null, holds: (permitted: T) => boolean, facts: string): ConfigurationFinding {
  if (permitted === null) return { rule, state: 'unknown', facts };
  return { rule, state: holds(permitted) ? 'permitted' : 'not-permitted', facts };
}

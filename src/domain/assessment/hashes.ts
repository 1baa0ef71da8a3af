import { canonicalBytes } from '../foundation/canonical.ts';
import type { Assessment, Check, Outcome, PointLoad } from './assessment.ts';

/** SHA-256 of UTF-8 text, in lower-case hex: a port, because browser and server have different ones. */
export type Sha256 = (text: string) => string;

/**
 * What a standing yes is compared by: loads, checks and verdict, of whatever revision, plan and engine. A hash over the hashes of its
 * parts, so that in a large show only what changed is hashed again.
 * @param hashOf  `partHash` of one check or load, which may be kept as long as the part is the same object
 */
export function outcomeHashOf(
  { checks, loads, totals, verdict }: Outcome,
  sha256: Sha256,
  hashOf: (part: Check | PointLoad, sha256: Sha256) => string,
): string {
  // The canonical bytes of the lists of hashes, which are thousands and plain hex, written straight away.
  const hashes = (parts: readonly (Check | PointLoad)[]) => `[${parts.map((part) => `"${hashOf(part, sha256)}"`).join(',')}]`;
  return sha256(`{"checks":${hashes(checks)},"loads":${hashes(loads)},"totals":${canonicalBytes(totals)},"verdict":"${verdict}"}`);
}

/** Of the canonical bytes of one check or load. */
export const partHash = (part: Check | PointLoad, sha256: Sha256): string => sha256(orderedText(part));

/**
 * The canonical bytes of a check or load, whose members stand in order already: then plain JSON is canonical, and many times faster to
 * write. Two things plain JSON would let by: a number that is not finite, and half a surrogate pair.
 */
export function orderedText(part: Check | PointLoad): string {
  if ('downKn' in part) {
    mustBeFinite(part.downKn);
    mustBeFinite(part.xKn);
    mustBeFinite(part.yKn);
  } else {
    mustBeFinite(part.demand);
    mustBeFinite(part.capacity);
    mustBeFinite(part.utilisation);
    for (const { amount } of part.counted) mustBeFinite(amount);
    for (const { atM, capacity, demand } of part.diagram ?? []) {
      mustBeFinite(atM);
      mustBeFinite(capacity);
      mustBeFinite(demand);
    }
  }
  const text = JSON.stringify(part);
  return text.includes('\\ud') ? canonicalBytes(part) : text;
}

function mustBeFinite(number: number | null): void {
  if (number !== null && !Number.isFinite(number)) throw new RangeError(`${number} leaves an assessment`);
}

/** What signatures name: the outcome, by which engine, of which roof, plan and policy, among whom. */
export const assessmentHashOf = (outcomeHash: string, engine: string, covers: Assessment['covers'], sha256: Sha256): string =>
  sha256(canonicalBytes({ outcomeHash, engine, ...covers }));

/** What a reviewer's tick on a check covers: all of it. Equal in a later plan, the tick still holds. */
export const coverHash = (check: Check, sha256: Sha256): string => sha256(canonicalBytes(check));

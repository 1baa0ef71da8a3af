import { canonicalBytes } from '../foundation/canonical.ts';
import type { Assessment, Check, Outcome } from './assessment.ts';

/** SHA-256 of UTF-8 text, in lower-case hex: a port, because browser and server have different ones. */
export type Sha256 = (text: string) => string;

/** What a standing yes is compared by: loads, checks and verdict, of whatever revision, plan and engine. */
export const outcomeHashOf = (outcome: Outcome, sha256: Sha256): string => sha256(canonicalBytes(outcome));

/** What signatures name: the outcome, by which engine, of which roof, plan and policy, among whom. */
export const assessmentHashOf = (outcomeHash: string, engine: string, covers: Assessment['covers'], sha256: Sha256): string =>
  sha256(canonicalBytes({ outcomeHash, engine, ...covers }));

/** What a reviewer's tick on a check covers: all of it. Equal in a later plan, the tick still holds. */
export const coverHash = (check: Check, sha256: Sha256): string => sha256(canonicalBytes(check));

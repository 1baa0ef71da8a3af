import { canonicalBytes } from '../foundation/canonical.ts';
import type { AssessmentFacts, Condition, CoveredPart } from './facts.ts';

/** The exact bytes that a yes stands for, by their hashes. */
export type Covered = {
  readonly planHash: string;
  readonly revisionHash: string;
  readonly assessmentHash: string;
  readonly outcomeHash: string;
  readonly engine: string;
  readonly policyHash: string;
  readonly conditionsHash: string;
};

/** @param sha256  of a text's UTF-8 bytes, in lower-case hex */
export function yesCovers(assessment: AssessmentFacts, conditions: readonly Condition[], sha256: (text: string) => string): Covered {
  const { planHash, revisionHash, assessmentHash, outcomeHash, engine, policyHash } = assessment;
  return { planHash, revisionHash, assessmentHash, outcomeHash, engine, policyHash, conditionsHash: sha256(canonicalBytes(conditions)) };
}

const PARTS: readonly (readonly [CoveredPart, keyof Covered])[] = [
  ['plan', 'planHash'],
  ['roof', 'revisionHash'],
  ['assessment', 'assessmentHash'],
  ['engine', 'engine'],
  ['policy', 'policyHash'],
  ['conditions', 'conditionsHash'],
];
/** Ours to answer for. The assessment's own hash also moves with the neighbours, who never undo a standing yes. */
const OWN_PARTS: readonly CoveredPart[] = ['plan', 'roof', 'engine', 'policy'];

/**
 * Whether a yes still holds for what is there now.
 * `unchanged`: nothing that it covers has moved. `kept`: something has, and what the roof sees is the same to the last digit.
 * `stale`: it has, and the outcome differs; or the conditions are not those that were agreed to, which no outcome can make good.
 */
export function stalenessOf(
  covered: Covered,
  now: Covered,
): { readonly verdict: 'unchanged' | 'kept' | 'stale'; readonly changed: readonly CoveredPart[] } {
  const changed = PARTS.filter(([, member]) => covered[member] !== now[member]).map(([part]) => part);
  if (changed.length === 0) return { verdict: 'unchanged', changed };
  const ownMoved = changed.some((part) => OWN_PARTS.includes(part));
  const stale = changed.includes('conditions') || (ownMoved && covered.outcomeHash !== now.outcomeHash);
  return { verdict: stale ? 'stale' : 'kept', changed };
}

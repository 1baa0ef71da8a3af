import type { MissingFact } from '../statics/hoist-line-reckoning.ts';

/** A datum that is not stated. What was computed without it is a lower bound: it can be over a limit, but never pass. */
export type Missing = MissingFact;

/** Each once, in an order that does not depend on how they were found. */
export function sortedMissing(facts: readonly Missing[]): Missing[] {
  if (facts.length <= 1) return [...facts];
  const once = new Map(facts.map((fact) => [`${fact.of} ${fact.code}`, fact]));
  return [...once.keys()].sort().flatMap((key) => once.get(key) ?? []);
}

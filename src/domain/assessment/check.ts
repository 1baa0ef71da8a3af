import type { Missing } from '../plan/missing.ts';
import { sortedMissing } from '../plan/missing.ts';
import type { Reckoned } from '../plan/hook-loads.ts';
import type { CapacityTerms } from '../roof/structure.ts';
import type { Check, CheckKind, Reckoning } from './assessment.ts';

/** A check about nothing in particular yet: what each sort of check fills in. */
const BLANK = {
  pointId: null,
  limitId: null,
  memberId: null,
  hangId: null,
  pickUpId: null,
  hard: true,
  case: null,
  demand: null,
  capacity: null,
  unit: null,
  utilisation: null,
  reason: null,
  during: null,
  counted: [],
  reckoning: [],
} satisfies Partial<Check>;

type Given = Partial<Check> & Pick<Check, 'verdict'>;

/** @param subjects  ids of what the check is about: with the kind they make its own id, the same in every assessment */
export const checkOf = (kind: CheckKind, subjects: readonly string[], given: Given): Check => ({
  ...BLANK,
  ...given,
  id: [kind, ...subjects].join(':'),
  kind,
});

/** A doubt or a missing fact, in a code and in words. */
export type Why = { readonly code: string; readonly text: string };

/** All of them in one: the first code stands for the check. */
export function reasonOf(whys: readonly Why[]): Check['reason'] {
  const [first] = whys;
  if (first === undefined) return null;
  return { code: first.code, text: [...new Set(whys.map(({ text }) => text))].join('; ') };
}

const WORDS: Readonly<Record<string, string>> = {
  'mass-missing': 'no mass is stated',
  'mass-basis-missing': 'how the mass is known is not stated',
  'no-load-listed': 'nothing is listed as hanging',
  'no-pick-up': 'no pick-up is given',
  'given-loads-short-of-list': 'the given loads add up to less than what is listed',
  'falls-of-chain-not-stated': 'the falls of chain are not stated',
  'hoist-speed-not-stated': 'the speed is not stated, so the dynamic factor is not known',
  'hoist-variable-speed-not-stated': 'whether the speed is variable is not stated, so the dynamic factor is not known',
  'dynamic-factor-not-stated': "too fast, or of variable speed, without the maker's dynamic factor",
  'rating-terms-missing': 'what the WLL is net of is not stated',
  'point-missing': 'the roof has no such point',
  'bridle-not-solved': 'the bridle cannot hang as drawn, so what it puts on the point is not known',
  'hook-height-not-stated': 'the height of the hook is not stated, so the angle of the line is not known',
  'hook-not-below-point': 'the hook is not below the upper end of its line',
  'neighbour-load-incomplete': "something of a neighbour's load is not stated",
};

export const whyMissing = ({ code, of }: Missing): Why => ({ code, text: `${of}: ${WORDS[code] ?? code}` });
export const whysMissing = (facts: readonly Missing[]): Why[] => sortedMissing(facts).map(whyMissing);

/** A reckoning of the statics as it is printed. */
export const printed = ({ formula, numbers, unit, source, result }: Reckoned): Reckoning => ({
  formula,
  numbers: numbersText(numbers),
  result: unit === '1' ? String(result) : `${result} ${unit}`,
  source,
});

export const numbersText = (numbers: Readonly<Record<string, number>>): string =>
  Object.entries(numbers)
    .map(([name, value]) => `${name} ${value}`)
    .join(', ');

/** Where a capacity comes from, as a source to print. */
export const basisText = ({ basis }: Pick<CapacityTerms, 'basis'>): string =>
  basis === null ? 'no basis stated' : [basis.kind, basis.standard, basis.document, basis.day].filter((part) => part !== null).join(', ');

import type { PartFactors, Policy } from './structure.ts';

/** `source` tells where a value comes from, and says so where it comes from nowhere but habit. `values` are JSON pointers into the policy. */
type ValueSource = { values: string[]; source: string };
export type OfferedPolicy = { setId: string; title: string; policy: Policy; sources: ValueSource[] };

const HALF_OF_EVERYTHING: PartFactors = { wllShare: 0.5, wireRope: 10, shackle: 10, textile: 14, chain: 8 };

const COMMON: Omit<Policy, 'setId' | 'chokeFactor' | 'partsNotOverPeople'> = {
  allow: { bridles: true, wraps: false, spreaders: false },
  closeFrom: 0.9,
  dynamicFactor: { atLeast: 1.25, speedKnownUpToMPerMin: 8 },
  limiterFactor: 1.6,
  levelRestMm: 10,
  levelMovingMm: 25,
  plumbDeg: 3,
  legCloseDeg: 45,
  legOverDeg: 60,
  contingency: { weighed: 0, documented: 0.05, estimated: 0.15, cablesAtLeast: 0.1 },
  partsOverPeople: HALF_OF_EVERYTHING,
  engineerAboveKg: null,
  secondaryCasesHard: false,
};

const PRACTICE = 'common practice, no source';
const COMMON_SOURCES: ValueSource[] = [
  { values: ['/allow/bridles'], source: PRACTICE },
  { values: ['/allow/wraps', '/allow/spreaders'], source: 'our cautious choice, no source: the venue turns on what its structure allows' },
  { values: ['/closeFrom'], source: PRACTICE },
  { values: ['/dynamicFactor'], source: `${PRACTICE}; beside it phi2 of hoisting class and speed, EN 13001-2 (from memory)` },
  { values: ['/limiterFactor'], source: 'where the maker states none; EN 14492-2, upper end of its range (from memory)' },
  { values: ['/levelRestMm', '/levelMovingMm'], source: PRACTICE },
  { values: ['/plumbDeg'], source: `${PRACTICE}; 29 CFR 1910.184(b) speaks of 5° for tension only` },
  { values: ['/legCloseDeg', '/legOverDeg'], source: 'bands of EN 13414-1; ASME B30.9 and B30.26 (30° from horizontal at least)' },
  { values: ['/contingency'], source: PRACTICE },
  { values: ['/engineerAboveKg'], source: 'no value offered: the venue states its own total' },
  { values: ['/secondaryCasesHard'], source: 'our choice, no source: slack, limiter and accidental cases advise' },
];

const OVER_PEOPLE_EUROPE: ValueSource = { values: ['/partsOverPeople'], source: 'DGUV Information 215-313 §1.4, Table 1' };
const OVER_PEOPLE_US: ValueSource = {
  values: ['/partsOverPeople'],
  source: 'DGUV Information 215-313 §1.4, Table 1, offered here too: no US document is known to us that asks for more over people',
};

/**
 * Sets of values that a venue may choose from, sign as they are, or change and sign. None is the default: until somebody chooses and
 * signs, a space cannot be published.
 */
export const offeredPolicies = (): OfferedPolicy[] => [
  {
    setId: 'europe-over-people',
    title: 'European values, everything over people',
    policy: {
      ...structuredCopy(COMMON),
      setId: 'europe-over-people',
      chokeFactor: 0.8,
      partsNotOverPeople: { wllShare: 1, wireRope: 5, shackle: 5, textile: 7, chain: 4 },
    },
    sources: [
      ...COMMON_SOURCES,
      OVER_PEOPLE_EUROPE,
      { values: ['/partsNotOverPeople'], source: 'Directive 2006/42/EC Annex I 4.1.2.5; shackles EN 13889' },
      { values: ['/chokeFactor'], source: 'EN 13414-1' },
    ],
  },
  {
    setId: 'us-practice',
    title: 'United States values, halved over people',
    policy: {
      ...structuredCopy(COMMON),
      setId: 'us-practice',
      chokeFactor: 0.75,
      partsNotOverPeople: { wllShare: 1, wireRope: 5, shackle: 5, textile: 5, chain: 4 },
    },
    sources: [
      ...COMMON_SOURCES,
      OVER_PEOPLE_US,
      {
        values: ['/partsNotOverPeople'],
        source: 'ASME B30.9 (wire rope, textile 5; alloy chain 4, from memory); shackles ASME B30.26 (from memory)',
      },
      { values: ['/chokeFactor'], source: 'ASME B30.9, wire rope (from memory)' },
    ],
  },
];

/** A caller may change what it was offered, so every offer is its own copy. */
function structuredCopy(common: typeof COMMON): typeof COMMON {
  return {
    ...common,
    allow: { ...common.allow },
    dynamicFactor: { ...common.dynamicFactor },
    contingency: { ...common.contingency },
    partsOverPeople: { ...common.partsOverPeople },
  };
}

import { expect, test } from 'vitest';
import { checkDraft } from '../../src/domain/roof/draft-check.ts';
import { remarksOn } from '../../src/domain/roof/draft-remarks.ts';
import type { Limit, RoofDraft } from '../../src/domain/roof/structure.ts';
import { draft, europe, group, member, point, terms } from './roof-samples.ts';

const found = (change: Partial<RoofDraft>) => checkDraft(draft(change)).map(({ pointer, code }) => `${pointer} ${code}`);
const limit = (own: object): Limit => ({ id: 'x', label: 'X', hard: true, terms, ...own }) as unknown as Limit;
const square = [
  { xM: 0, yM: 0 },
  { xM: 4, yM: 0 },
  { xM: 4, yM: 4 },
  { xM: 0, yM: 4 },
];
const keepOut = {
  id: 'k',
  label: 'K',
  reason: 'duct',
  area: square,
  fromZM: 8,
  toZM: 9,
  hard: true,
  fromDay: null,
  untilDay: null,
} as const;
const standing = { id: 's', label: 'S', permanent: true, points: [], memberLoads: [], fromDay: null, untilDay: null };

test('a sound working copy has no fault and no remark', () => {
  expect(checkDraft(draft())).toEqual([]);
  expect(remarksOn(draft())).toEqual([]);
});

const on = [{ memberId: 'm1', stationM: 2, share: 1 }];
test.each<[string, Partial<RoofDraft>, string[]]>([
  ['no signed policy', { policy: null }, ['/policy policy-not-signed']],
  ['a signature without a name', { policy: { ...europe(), signedBy: ' ' } }, ['/policy/signedBy policy-not-signed']],
  ['a signature at no instant', { policy: { ...europe(), signedAt: '2025-01-02' } }, ['/policy/signedAt instant-not-valid']],
  [
    'a policy out of range',
    { policy: { ...europe(), policy: { ...europe().policy, closeFrom: 1.2 } } },
    ['/policy/policy/closeFrom number-out-of-range'],
  ],
  ['a zone that is no name', { timeZone: 'UTC+2 summer' }, ['/timeZone zone-not-valid']],
  [
    'repeated ids and labels',
    { points: [point('p1'), point('p2', { label: ' P-p1 ' }), point('p1', { label: 'other' })] },
    ['/points/1/label label-repeated', '/points/2/id id-repeated'],
  ],
  ['an empty label', { points: [point('p1', { label: ' ' }), point('p2')] }, ['/points/0/label label-missing']],
  ['an unknown node', { members: [member('m1', { toNodeId: 'n9' })] }, ['/members/0/toNodeId id-unknown']],
  [
    'a member of zero length',
    { members: [member('m1', { toNodeId: 'n1', supports: [], allowables: [] })], points: [], limits: [] },
    ['/members/0 member-without-length'],
  ],
  [
    'a support beyond the end, another repeated, two in one place',
    { members: [member('m1', { supports: [{ id: 'a', atM: 0 }, { id: 'a', atM: 5 }, { id: 'c', atM: 5 }, { id: 'd', atM: 10.5 }] })] }, // prettier-ignore
    ['/members/0/supports/1/id id-repeated', '/members/0/supports/2/atM supports-coincide', '/members/0/supports/3/atM station-off-member'],
  ],
  [
    'allowables reversed, overlapping and negative',
    {
      members: [
        member('m1', {
          allowables: [
            { fromM: 0, toM: 6, saggingKnm: -1, hoggingKnm: 80, shearKn: 60 },
            { fromM: 5, toM: 10, saggingKnm: 1, hoggingKnm: 80, shearKn: 60 },
            { fromM: 9, toM: 8, saggingKnm: 1, hoggingKnm: 80, shearKn: Number.NaN },
          ],
        }),
      ],
    },
    [
      '/members/0/allowables/0/saggingKnm number-out-of-range',
      '/members/0/allowables/1 ranges-overlap',
      '/members/0/allowables/2/toM range-reversed',
      '/members/0/allowables/2/shearKn number-out-of-range',
    ],
  ],
  ['negative self weight', { members: [member('m1', { selfKgPerM: -1 })] }, ['/members/0/selfKgPerM number-out-of-range']],
  ['a modulus of zero', { members: [member('m1', { eGpa: 0 })] }, ['/members/0/eGpa number-out-of-range']],
  [
    'a dead load off the member',
    { members: [member('m1', { deadLoads: [{ fromM: 2, toM: 11, kgPerM: 5 }] })] },
    ['/members/0/deadLoads/0/toM station-off-member'],
  ],
  [
    'a panel point off the member',
    { members: [member('m1', { panelPoints: { atM: [0, 12], toleranceM: 0.1 } })] },
    ['/members/0/panelPoints/atM/1 station-off-member'],
  ],
  ['an unknown member', { members: [], points: [point('p1', { on }), point('p2')] }, ['/points/0/on/0/memberId id-unknown']],
  [
    'a point off its member',
    { points: [point('p1', { on: [{ memberId: 'm1', stationM: 10.2, share: 1 }] }), point('p2')] },
    ['/points/0/on/0/stationM station-off-member'],
  ],
  [
    'shares that lose some of the load',
    { points: [point('p1', { on: [{ memberId: 'm1', stationM: 1, share: 0.5 }] }), point('p2')] },
    ['/points/0/on shares-not-whole'],
  ],
  ['a negative rating', { points: [point('p1', { wllKg: -1 }), point('p2')] }, ['/points/0/wllKg number-out-of-range']],
  ['an absurd rating', { points: [point('p1', { wllKg: 1e9 }), point('p2')] }, ['/points/0/wllKg number-out-of-range']],
  ['a place in millimetres', { points: [point('p1', { xM: 12_500 }), point('p2')] }, ['/points/0/xM number-out-of-range']],
  [
    'a reduction that is none, on days reversed',
    {
      points: [point('p1', { reductions: [{ fromDay: '2025-03-01', untilDay: '2025-03-01', wllKg: 1001, reason: 'snow' }] }), point('p2')],
    },
    ['/points/0/reductions/0/untilDay days-reversed', '/points/0/reductions/0/wllKg reduction-not-lower'],
  ],
  [
    'a day that does not exist',
    { points: [point('p1', { inspectionDueDay: '2025-02-29' }), point('p2')] },
    ['/points/0/inspectionDueDay day-not-valid'],
  ],
  [
    'a design factor below one',
    { points: [point('p1', { terms: { ...terms, format: { kind: 'design', permanentFactor: 0.9, imposedFactor: 1.5 } } }), point('p2')] },
    ['/points/0/terms/format/permanentFactor number-out-of-range'],
  ],
  [
    'a group with an unknown and a repeated point',
    { limits: [group('g', ['p1', 'p9', 'p1'], 10)] },
    ['/limits/0/pointIds/1 id-unknown', '/limits/0/pointIds/2 id-repeated'],
  ],
  ['an empty group', { limits: [group('g', [], 10)] }, ['/limits/0/pointIds set-empty']],
  [
    'bounds reversed',
    { limits: [limit({ kind: 'weighted', weights: [{ pointId: 'p1', factor: 1 }], maxKg: 10, minKg: 20 })] },
    ['/limits/0/minKg range-reversed'],
  ],
  [
    'a factor that is no number',
    { limits: [limit({ kind: 'weighted', weights: [{ pointId: 'p1', factor: Infinity }], maxKg: 10, minKg: null })] },
    ['/limits/0/weights/0/factor number-out-of-range'],
  ],
  [
    'half a point in a count',
    { limits: [limit({ kind: 'count', pointIds: ['p1'], maxLoaded: 1.5 })] },
    ['/limits/0/maxLoaded number-out-of-range'],
  ],
  [
    'a spacing of zero',
    { limits: [limit({ kind: 'spacing', memberId: 'm1', minSpacingM: 0, reducedKg: null })] },
    ['/limits/0/minSpacingM number-out-of-range'],
  ],
  [
    'a sideways limit without a value',
    { limits: [limit({ kind: 'sideways', memberId: 'm1', acrossKn: null, alongKn: null })] },
    ['/limits/0 value-missing'],
  ],
  [
    'a window on no member',
    { limits: [limit({ kind: 'density', memberId: 'm9', windowM: 2, maxKg: 10 })] },
    ['/limits/0/memberId id-unknown'],
  ],
  [
    'an area that crosses itself',
    { limits: [limit({ kind: 'areaDensity', area: [square[0], square[2], square[1], square[3]], maxKgPerM2: 10 })] },
    ['/limits/0/area polygon-not-valid'],
  ],
  [
    'a keep-out of no height and too few corners',
    { keepOuts: [{ ...keepOut, toZM: 8, area: square.slice(0, 2) }] },
    ['/keepOuts/0/area polygon-not-valid', '/keepOuts/0/toZM range-reversed'],
  ],
  [
    'a standing load on nothing that exists',
    {
      standingLoads: [
        { ...standing, points: [{ pointId: 'p9', massKg: -1 }], memberLoads: [{ memberId: 'm9', fromM: 0, toM: 1, kgPerM: 1 }] },
      ],
    },
    [
      '/standingLoads/0/points/0/pointId id-unknown',
      '/standingLoads/0/points/0/massKg number-out-of-range',
      '/standingLoads/0/memberLoads/0/memberId id-unknown',
    ],
  ],
])('%s cannot be published', (_what, change, faults) => {
  expect(found(change)).toEqual(faults);
});

test('faults come all at once and carry their numbers', () => {
  const faults = checkDraft(draft({ policy: null, timeZone: '', members: [member('m1', { selfKgPerM: -1 })] }));
  expect(faults.map(({ code }) => code)).toEqual(['zone-not-valid', 'number-out-of-range', 'policy-not-signed']);
  expect(faults[1]?.facts).toEqual({ value: -1, least: 0, most: 100_000, unit: 'kg/m' });
});

test('what is not stated is remarked and can be published', () => {
  const bare = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
  const changed = draft({
    members: [member('m1', { selfKgPerM: null, allowableIs: null, otherEffectsBasis: null, supports: [], allowables: [] })],
    points: [point('p1', { terms: bare, wllKg: null, inspectionDueDay: null, state: 'restricted' }), point('p2', { on })],
    limits: [{ ...group('g', ['p1'], 10), terms: { ...terms, holdsWithOthersLoaded: false } }],
    standingLoads: [standing],
  });
  expect(checkDraft(changed)).toEqual([]);
  expect(remarksOn(changed).map(({ pointer, code }) => `${pointer} ${code}`)).toEqual([
    '/members/0/supports supports-not-stated',
    '/members/0/selfKgPerM self-weight-not-stated',
    '/members/0/allowableIs allowable-terms-not-stated',
    '/members/0/otherEffectsBasis other-effects-not-covered',
    '/members/0/allowables allowables-not-stated',
    '/points/0/wllKg rating-not-stated',
    '/points/0/inspectionDueDay inspection-not-stated',
    '/points/0/stateReason state-reason-not-stated',
    '/points/0/on not-on-a-member',
    '/points/0/terms/basis basis-not-stated',
    '/points/0/terms/format format-not-stated',
    '/points/0/terms/dynamic dynamic-not-stated',
    '/points/0/terms/mustInclude must-include-not-stated',
    '/points/0/terms/holdsWithOthersLoaded others-loaded-not-stated',
    '/limits/0/terms/holdsWithOthersLoaded holds-alone-only',
    '/standingLoads/0 standing-load-empty',
  ]);
});

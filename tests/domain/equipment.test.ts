import fc from 'fast-check';
import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { checkItem } from '../../src/domain/equipment/check-item.ts';
import { versionChanges } from '../../src/domain/equipment/version-changes.ts';
import { BLANKS } from '../../src/domain/plan/blank-equipment.ts';
import { claimFaults } from '../../src/domain/plan/check-claims.ts';
import { equipmentBytes } from '../../src/domain/plan/equipment-hash.ts';
import type { EquipmentData, EquipmentUsed } from '../../src/domain/plan/plan.ts';
import { storedPlan, upgradedEquipment } from '../../src/domain/plan/stored-equipment.ts';

// Invented equipment throughout.
const shackle: EquipmentData = {
  ...BLANKS.part,
  kind: 'part',
  name: 'bow shackle',
  part: 'shackle',
  massKg: 1,
  wllKg: 3000,
  breakingKn: 180,
};
const cabinet: EquipmentData = { ...BLANKS.cabinet, kind: 'cabinet', name: 'cabinet', massKg: 50, basis: 'weighed' };
const frame: EquipmentData = { ...BLANKS.arrayFrame, kind: 'arrayFrame', name: 'frame', massKg: 60 };
const truss: EquipmentData = { ...BLANKS.truss, kind: 'truss', name: 'truss', selfKgPerM: 10 };
const hoist: EquipmentData = { ...BLANKS.hoist, kind: 'hoist', name: 'hoist', wllKg: 1000, falls: 1 };
const cable: EquipmentData = { ...BLANKS.cable, kind: 'cable', name: 'multicore', kgPerM: 0.5 };
const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

const faultsOf = (data: EquipmentData) => {
  const checked = checkItem(data);
  return checked.ok ? [] : checked.error.faults.map(({ pointer, code }) => `${pointer} ${code}`);
};

test.each([shackle, cabinet, frame, truss, hoist, cable])('a $kind that states little is no fault', (data) => {
  expect(checkItem(data)).toEqual({ ok: true, value: data });
});

test.each<[EquipmentData, string[]]>([
  [{ ...hoist, wllKg: 0, falls: 1.5, dynamicFactor: 0.5 }, ['/falls not-whole', '/dynamicFactor out-of-range', '/wllKg not-positive']],
  // 3000 kg weigh 29.41995 kN under standard gravity.
  [{ ...shackle, breakingKn: 29.4 }, ['/breakingKn breaks-below-rating']],
  [{ ...shackle, breakingKn: 29.42 }, []],
  [
    { ...cabinet, allowedSplaysDeg: [0, 2, 0], bottomPivot: { uM: 0, vM: 0 }, depthM: 0 },
    ['/depthM not-positive', '/allowedSplaysDeg/2 splay-twice', '/bottomPivot pivots-coincide'],
  ],
  [
    {
      ...frame,
      holes: [
        { id: 'a', uM: 0, vM: 0, wllKg: null },
        { id: 'a', uM: 1, vM: 0, wllKg: null },
      ],
    },
    ['/holes/1/id id-twice'],
  ],
  [
    {
      ...truss,
      saggingKnm: 0,
      spanTable: [
        { spanM: 0, evenKgPerM: null, points: null },
        { spanM: 8, evenKgPerM: 20, points: { count: 0, eachKg: 100 } },
      ],
    },
    [
      '/saggingKnm not-positive',
      '/spanTable/0/spanM not-positive',
      '/spanTable/0 nothing-tabled',
      '/spanTable/1 two-patterns',
      '/spanTable/1/points/count not-positive',
    ],
  ],
  [{ ...cable, kgPerM: -1 }, ['/kgPerM out-of-range', '/kgPerM not-positive']],
  [{ ...cable, kgPerM: Number.NaN }, ['/kgPerM not-finite']],
])('what cannot be is refused, all at once: %j', (data, faults) => {
  expect(faultsOf(data)).toEqual(faults);
});

test('two versions differ in the facts that differ, and in no other', () => {
  expect(versionChanges(shackle, { ...shackle, wllKg: 2000, breakingKn: null })).toEqual([
    { fact: 'breakingKn', before: 180, after: null },
    { fact: 'wllKg', before: 3000, after: 2000 },
  ]);
  expect(versionChanges(truss, structuredClone(truss))).toEqual([]);
});

test('the hash of facts does not see what is not stated, nor the order of members, and sees everything else', () => {
  expect(equipmentBytes(cable)).toBe('{"kgPerM":0.5,"kind":"cable","name":"multicore"}');
  const facts = fc.record({
    massKg: fc.option(fc.double({ min: 0, max: 1e6, noNaN: true })),
    wllKg: fc.option(fc.double({ min: 0, max: 1e6, noNaN: true })),
  });
  fc.assert(
    fc.property(facts, facts, (one, other) => {
      const [a, b] = [one, other].map((said) => equipmentBytes({ ...shackle, ...said }));
      const same = one.massKg === other.massKg && one.wllKg === other.wllKg;
      expect(a === b).toBe(same);
      const reversed = Object.fromEntries(Object.entries({ ...shackle, ...one }).toReversed()) as EquipmentData;
      expect(equipmentBytes(reversed)).toBe(a);
    }),
  );
  const later = { ...cable, aFactOfLater: null } as EquipmentData;
  expect(equipmentBytes(later)).toBe(equipmentBytes(cable));
});

test('a plan written before kinds had facts of their own is still read: numbers of a known name are kept, the rest is not stated', () => {
  const loose = { kind: 'cabinet', name: 'old', values: { massKg: 42, colour: 'black', heightM: '0.4', cg: 3 } } as const;
  expect(upgradedEquipment(loose)).toEqual({ ...BLANKS.cabinet, kind: 'cabinet', name: 'old', massKg: 42 });
  const short = { kind: 'part', name: 'short', part: 'ring' } as EquipmentData;
  const plan = storedPlan(
    JSON.stringify({ format: 1, hangs: [], equipment: { a: { from: null, data: loose }, b: { from: null, data: short } } }),
  );
  expect(plan.equipment.b).toEqual({ from: null, data: { ...BLANKS.part, kind: 'part', name: 'short', part: 'ring' } });
  expect(storedPlan(JSON.stringify(plan))).toEqual(plan);
});

test('a claim to a catalogue holds only with the hash of the very facts, and of that version where the item is known', () => {
  const hash = sha256(equipmentBytes(cable));
  const known = new Map([
    [
      'own',
      new Map([
        [1, sha256(equipmentBytes(hoist))],
        [2, hash],
      ]),
    ],
  ]);
  const faults = (from: EquipmentUsed['from']) =>
    claimFaults({ 'a/b': { from, data: cable } }, known, sha256).map(({ pointer, code }) => `${pointer} ${code}`);
  expect(faults(null)).toEqual([]);
  expect(faults({ itemId: 'own', version: 2, hash })).toEqual([]);
  expect(faults({ itemId: "another's", version: 9, hash })).toEqual([]);
  expect(faults({ itemId: "another's", version: 9, hash: sha256('other') })).toEqual([
    '/equipment/a~1b/from/hash claim-not-of-these-facts',
  ]);
  expect(faults({ itemId: 'own', version: 3, hash })).toEqual(['/equipment/a~1b/from/version no-such-version']);
  expect(faults({ itemId: 'own', version: 1, hash })).toEqual(['/equipment/a~1b/from/hash claim-not-of-this-version']);
});

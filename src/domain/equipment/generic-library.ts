import { BLANKS } from '../plan/blank-equipment.ts';
import { GENERIC_ID_PREFIX } from '../plan/generic-ids.ts';
import type { ArrayFrameData, CabinetData, TrussSectionData } from '../plan/equipment-data.ts';
import type { EquipmentData, HoistData, PartData } from '../plan/plan.ts';

/** Versions count from 1 and are never taken back: a changed entry gets another one behind them. */
export type GenericItem = { id: string; versions: readonly { note: string; data: EquipmentData }[] };

const NOTE = 'Invented round numbers, for a first sketch: enter your own equipment from its markings and documents.';
const entry = (number: number, data: EquipmentData): GenericItem => ({
  id: `${GENERIC_ID_PREFIX}${String(number).padStart(12, '0')}`,
  versions: [{ note: NOTE, data }],
});

const hoist = (name: string, facts: Partial<HoistData>): HoistData => ({
  ...BLANKS.hoist,
  wllIsNetOf: 'hook',
  falls: 1,
  bagKg: 5,
  liftM: 20,
  speedMPerMin: 4,
  variableSpeed: false,
  mayHoldOverPeople: false,
  mayMoveOverPeople: false,
  ...facts,
  kind: 'hoist',
  name,
});
const part = (name: string, kind: PartData['part'], facts: Partial<PartData>): PartData => ({
  ...BLANKS.part,
  ...facts,
  kind: 'part',
  name,
  part: kind,
});
const steel = (lengthM: number, massKg: number) =>
  part(`Generic steel, ${lengthM} m, 1 t`, 'wireRope', { lengthM, massKg, wllKg: 1000, breakingKn: 50 });
const cabinet = (name: string, facts: Partial<CabinetData>): CabinetData => ({
  ...BLANKS.cabinet,
  basis: 'estimated',
  ...facts,
  kind: 'cabinet',
  name,
});
const frame = (name: string, facts: Partial<ArrayFrameData>): ArrayFrameData => ({
  ...BLANKS.arrayFrame,
  basis: 'estimated',
  ...facts,
  kind: 'arrayFrame',
  name,
});
const truss = (name: string, facts: Partial<TrussSectionData>): TrussSectionData => ({
  ...BLANKS.truss,
  basis: 'estimated',
  ...facts,
  kind: 'truss',
  name,
});
const cable = (name: string, kgPerM: number): EquipmentData => ({ kind: 'cable', name, kgPerM, basis: 'estimated' });
const box = (depthM: number, heightM: number) => [
  { uM: 0, vM: 0 },
  { uM: -depthM, vM: 0 },
  { uM: -depthM, vM: -heightM },
  { uM: 0, vM: -heightM },
];

/** Something to begin with, in invented round numbers: no maker's. The allowables of trusses are left out, since strength is not to be invented. */
export const GENERIC_LIBRARY: readonly GenericItem[] = [
  entry(1, hoist('Generic chain hoist, 250 kg', { wllKg: 250, bodyKg: 25, chainKgPerM: 0.5, shortestHookToHookM: 0.4 })),
  entry(2, hoist('Generic chain hoist, 500 kg', { wllKg: 500, bodyKg: 40, chainKgPerM: 1, shortestHookToHookM: 0.5 })),
  entry(3, hoist('Generic chain hoist, 1 t', { wllKg: 1000, bodyKg: 60, chainKgPerM: 2, shortestHookToHookM: 0.6 })),
  entry(4, hoist('Generic chain hoist, 2 t, two falls', { wllKg: 2000, bodyKg: 70, chainKgPerM: 2, falls: 2, shortestHookToHookM: 0.8 })),
  entry(
    5,
    hoist('Generic hand chain hoist, 1 t', {
      wllKg: 1000,
      bodyKg: 15,
      chainKgPerM: 2,
      bagKg: null,
      speedMPerMin: null,
      shortestHookToHookM: 0.4,
    }),
  ),
  entry(21, steel(0.5, 1)),
  entry(22, steel(1, 1.5)),
  entry(23, steel(1.5, 2)),
  entry(24, steel(3, 3)),
  entry(25, steel(5, 5)),
  entry(26, steel(10, 10)),
  entry(31, part('Generic shackle, 2 t', 'shackle', { lengthM: 0.06, massKg: 0.5, wllKg: 2000, breakingKn: 120 })),
  entry(32, part('Generic shackle, 3 t', 'shackle', { lengthM: 0.08, massKg: 1, wllKg: 3000, breakingKn: 180 })),
  entry(33, part('Generic ring, 3 t', 'ring', { lengthM: 0.15, massKg: 2, wllKg: 3000, breakingKn: 150 })),
  entry(34, part('Generic chain adjuster, 1 m', 'adjuster', { lengthM: 1, massKg: 3, wllKg: 2000, breakingKn: 80 })),
  entry(35, part('Generic spreader, 2 m', 'spreader', { lengthM: 0.3, massKg: 20, wllKg: 1000 })),
  entry(36, part('Generic textile round sling, 2 m', 'textile', { lengthM: 2, massKg: 1, wllKg: 2000, breakingKn: 140 })),
  entry(37, part('Generic beam clamp, 1 t', 'clamp', { lengthM: 0.2, massKg: 5, wllKg: 1000 })),
  entry(38, part('Generic secondary, 1 m', 'secondary', { lengthM: 1, massKg: 2 })),
  entry(39, part('Generic load cell, 2 t', 'loadCell', { lengthM: 0.2, massKg: 2, wllKg: 2000, breakingKn: 100 })),
  entry(
    51,
    cabinet('Generic array cabinet, large', {
      massKg: 80,
      heightM: 0.4,
      depthM: 0.7,
      widthM: 1.2,
      cg: { uM: -0.3, vM: -0.2 },
      bottomPivot: { uM: 0, vM: -0.4 },
      corners: box(0.7, 0.4),
      allowedSplaysDeg: [0, 1, 2, 3, 4, 5],
    }),
  ),
  entry(
    52,
    cabinet('Generic array cabinet, medium', {
      massKg: 40,
      heightM: 0.3,
      depthM: 0.5,
      widthM: 0.9,
      cg: { uM: -0.2, vM: -0.15 },
      bottomPivot: { uM: 0, vM: -0.3 },
      corners: box(0.5, 0.3),
      allowedSplaysDeg: [0, 1, 2, 4, 6, 8],
    }),
  ),
  entry(
    53,
    cabinet('Generic array cabinet, bass', {
      massKg: 100,
      heightM: 0.5,
      depthM: 0.8,
      widthM: 1.2,
      cg: { uM: -0.4, vM: -0.25 },
      bottomPivot: { uM: 0, vM: -0.5 },
      corners: box(0.8, 0.5),
      allowedSplaysDeg: [0],
    }),
  ),
  entry(
    61,
    frame('Generic array frame', {
      massKg: 60,
      cg: { uM: 0, vM: 0 },
      bottomPivot: { uM: 0.4, vM: -0.1 },
      holes: [-0.4, -0.2, 0, 0.2, 0.4].map((uM, index) => ({ id: `${index + 1}`, uM, vM: 0.1, wllKg: null })),
    }),
  ),
  entry(
    62,
    frame('Generic adaptor', { massKg: 20, cg: { uM: -0.2, vM: -0.05 }, topPivot: { uM: 0, vM: 0 }, bottomPivot: { uM: 0, vM: -0.1 } }),
  ),
  entry(71, truss('Generic square truss, light', { selfKgPerM: 5, nodeSpacingM: 0.5 })),
  entry(72, truss('Generic square truss, medium', { selfKgPerM: 8, nodeSpacingM: 0.5 })),
  entry(73, truss('Generic square truss, heavy', { selfKgPerM: 20, nodeSpacingM: 1 })),
  entry(81, cable('Generic loudspeaker multicore', 0.5)),
  entry(82, cable('Generic lighting multicore', 1)),
  entry(83, cable('Generic power cable', 2)),
];

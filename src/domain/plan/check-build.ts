import { checkPolygon, planDistanceM } from '../foundation/polygon.ts';
import type { PlanFault } from './plan-fault.ts';
import type { ArrayBuild, Hang, TrussBuild, TrussFrameBuild, TrussLoads } from './plan.ts';
import { spanTableFaults } from './truss-span.ts';

const fault = (pointer: string, code: string, message: string): PlanFault => ({ pointer, code, message });

/** More hoists share a truss only by chance, and their level envelope would take seconds. */
const MOST_TRUSS_HOISTS = 32;
const MOST_ELEMENTS = 200;
/** What a sum of panel lengths may miss the end of a truss by. */
const ROUNDING_M = 1e-9;

/** What cannot be in the build of an array, truss or truss frame. One that is not stated is no fault. */
export function buildFaults(hang: Hang, at: string): PlanFault[] {
  if (hang.kind === 'single' || hang.kind === 'cablePick' || hang.build === null) return [];
  if (hang.kind === 'array') return arrayFaults(hang, hang.build, `${at}/build`);
  const faults = hang.kind === 'truss' ? trussFaults(hang.build, `${at}/build`) : trussFrameFaults(hang.build, `${at}/build`);
  faults.push(...pickUpIdFaults(hang, hang.build.pickUps, `${at}/build/pickUps`));
  faults.push(...spanTableFaults(hang.build.section.spanTable ?? [], `${at}/build/section/spanTable`));
  if (hang.pickUps.length > MOST_TRUSS_HOISTS)
    faults.push(fault(`${at}/pickUps`, 'too-many', `at most ${MOST_TRUSS_HOISTS} hoists on one truss`));
  return faults;
}

function pickUpIdFaults(hang: Hang, listed: readonly { pickUpId: string }[], at: string): PlanFault[] {
  return listed.flatMap(({ pickUpId }, index) => {
    const pointer = `${at}/${index}/pickUpId`;
    if (!hang.pickUps.some(({ id }) => id === pickUpId)) return [fault(pointer, 'no-such-pick-up', 'is no pick-up of this hang')];
    const first = listed.findIndex((other) => other.pickUpId === pickUpId);
    return first < index ? [fault(pointer, 'pick-up-twice', 'has a place already')] : [];
  });
}

function arrayFaults(hang: Hang, build: ArrayBuild, at: string): PlanFault[] {
  const { frame, elements, extras, holes } = build;
  const faults = pickUpIdFaults(hang, holes, `${at}/holes`);
  const ids = frame.holes.map(({ id }) => id);
  for (const [index, id] of ids.entries())
    if (ids.indexOf(id) < index) faults.push(fault(`${at}/frame/holes/${index}/id`, 'id-twice', 'two holes have this id'));
  for (const [index, { holeId }] of holes.entries())
    if (!ids.includes(holeId)) faults.push(fault(`${at}/holes/${index}/holeId`, 'no-such-hole', 'is no hole of the frame'));
  for (const [index, { on }] of extras.entries())
    if (on !== 'frame' && (!Number.isInteger(on) || on < 0 || on >= elements.length))
      faults.push(fault(`${at}/extras/${index}/on`, 'no-such-element', `the array has ${elements.length} elements`));
  if (elements.length > MOST_ELEMENTS) faults.push(fault(`${at}/elements`, 'too-many', `at most ${MOST_ELEMENTS} elements`));
  const stacked = build.stackSizes.reduce((sum, size) => sum + size, 0);
  if (stacked > elements.length)
    faults.push(fault(`${at}/stackSizes`, 'stacks-do-not-add-up', `${stacked} in stacks, ${elements.length} elements`));
  return faults;
}

function trussFaults(build: TrussBuild, at: string): PlanFault[] {
  const faults = loadFaults(build, build.lengthM, at);
  if (build.lengthM <= 0) faults.push(fault(`${at}/lengthM`, 'not-positive', 'must be more than 0'));
  for (const [index, { atM }] of build.pickUps.entries())
    if (isOff(atM, build.lengthM))
      faults.push(fault(`${at}/pickUps/${index}/atM`, 'off-the-truss', `the truss is ${build.lengthM} m long`));
  return faults;
}

function trussFrameFaults(build: TrussFrameBuild, at: string): PlanFault[] {
  const { corners, closed, sides } = build;
  const faults: PlanFault[] = [];
  const wanted = closed ? corners.length : corners.length - 1;
  if (corners.length < (closed ? 3 : 2))
    faults.push(fault(`${at}/corners`, 'too-few-corners', 'a ring has three corners at least, a chain two'));
  else if (closed) {
    const polygon = checkPolygon(corners);
    if (!polygon.ok) faults.push(fault(`${at}/corners`, polygon.error.code, 'the corners enclose no one area'));
  }
  if (sides.length !== wanted) faults.push(fault(`${at}/sides`, 'side-missing', `these corners make ${wanted} sides`));
  const lengthOf = (side: number): number | null => {
    const [from, to] = [corners[side], corners[(side + 1) % corners.length]];
    return from === undefined || to === undefined || side >= wanted ? null : planDistanceM(from, to);
  };
  for (const [index, side] of sides.entries()) {
    const lengthM = lengthOf(index);
    if (lengthM !== null) faults.push(...loadFaults(side, lengthM, `${at}/sides/${index}`));
  }
  for (const [index, { side, atM }] of build.pickUps.entries()) {
    const lengthM = lengthOf(side);
    if (lengthM === null) faults.push(fault(`${at}/pickUps/${index}/side`, 'no-such-side', `the frame has ${wanted} sides`));
    else if (isOff(atM, lengthM)) faults.push(fault(`${at}/pickUps/${index}/atM`, 'off-the-truss', `the side is ${lengthM} m long`));
  }
  return faults;
}

function loadFaults({ pointLoads, spreadLoads }: TrussLoads, lengthM: number, at: string): PlanFault[] {
  const off = (pointer: string) => fault(pointer, 'off-the-truss', `the truss is ${lengthM} m long`);
  const faults: PlanFault[] = [];
  for (const [index, { atM }] of pointLoads.entries()) if (isOff(atM, lengthM)) faults.push(off(`${at}/pointLoads/${index}/atM`));
  for (const [index, { fromM, toM }] of spreadLoads.entries()) {
    if (isOff(fromM, lengthM)) faults.push(off(`${at}/spreadLoads/${index}/fromM`));
    if (isOff(toM, lengthM)) faults.push(off(`${at}/spreadLoads/${index}/toM`));
    if (toM <= fromM) faults.push(fault(`${at}/spreadLoads/${index}/toM`, 'load-reversed', 'must lie beyond where the load begins'));
  }
  return faults;
}

const isOff = (atM: number, lengthM: number): boolean => atM < -ROUNDING_M || atM > lengthM + ROUNDING_M;

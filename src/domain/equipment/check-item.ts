import { fail, ok, type Result } from '../foundation/result.ts';
import { kgToKn } from '../foundation/units.ts';
import { numberFaults } from '../plan/number-ranges.ts';
import type { PlanFault } from '../plan/plan-fault.ts';
import type { EquipmentData } from '../plan/plan.ts';
import { spanTableFaults } from '../plan/truss-span.ts';

export type ItemError = { code: 'equipment-not-valid'; faults: PlanFault[] };

/** 1 mm: nearer than this, two pivots are one. */
const SAME_PLACE_M = 0.001;

/** Everything that is impossible in a catalogue entry, all at once. What is not stated is no fault: it is unknown where it is needed. */
export function checkItem(data: EquipmentData): Result<EquipmentData, ItemError> {
  const faults = [...numberFaults(data, ''), ...positiveFaults(data), ...kindFaults(data)];
  return faults.length === 0 ? ok(data) : fail({ code: 'equipment-not-valid', faults });
}

const fault = (pointer: string, code: string, message: string): PlanFault => ({ pointer, code, message });

/** Ratings and measures that are stated as 0 were meant as "not stated", and would read as "carries nothing" or as a place of no size. */
const POSITIVE: Readonly<Record<EquipmentData['kind'], readonly string[]>> = {
  hoist: ['wllKg', 'liftM', 'shortestHookToHookM', 'chainStiffnessKnPerM', 'chainKgPerM'],
  part: ['wllKg', 'breakingKn'],
  cabinet: ['massKg', 'heightM', 'depthM', 'widthM'],
  arrayFrame: ['massKg'],
  truss: ['selfKgPerM', 'nodeSpacingM', 'eiKnm2', 'eiSidewaysKnm2', 'gjKnm2', 'gaKn', 'saggingKnm', 'hoggingKnm', 'shearKn'],
  cable: ['kgPerM'],
};
const positiveFaults = (data: EquipmentData): PlanFault[] =>
  POSITIVE[data.kind].flatMap((name) => {
    const value = new Map<string, unknown>(Object.entries(data)).get(name);
    return typeof value === 'number' && value <= 0
      ? [fault(`/${name}`, 'not-positive', 'must be more than 0; leave it out where it is not stated')]
      : [];
  });

function kindFaults(data: EquipmentData): PlanFault[] {
  switch (data.kind) {
    case 'part': {
      const { wllKg, breakingKn } = data;
      if (wllKg === null || breakingKn === null || breakingKn >= kgToKn(wllKg)) return [];
      return [fault('/breakingKn', 'breaks-below-rating', 'must not be less than the weight of the WLL')];
    }
    case 'cabinet': {
      const { bottomPivot, allowedSplaysDeg } = data;
      const faults = allowedSplaysDeg.flatMap((splay, index) =>
        allowedSplaysDeg.indexOf(splay) < index ? [fault(`/allowedSplaysDeg/${index}`, 'splay-twice', 'stands in the list already')] : [],
      );
      const coincide = bottomPivot !== null && Math.abs(bottomPivot.uM) < SAME_PLACE_M && Math.abs(bottomPivot.vM) < SAME_PLACE_M;
      return coincide ? [...faults, fault('/bottomPivot', 'pivots-coincide', 'must not lie at the top pivot, which is (0, 0)')] : faults;
    }
    case 'arrayFrame':
      return data.holes.flatMap(({ id }, index) =>
        data.holes.findIndex((hole) => hole.id === id) < index
          ? [fault(`/holes/${index}/id`, 'id-twice', 'is the id of another hole')]
          : [],
      );
    case 'truss':
      return spanTableFaults(data.spanTable, '/spanTable');
    case 'hoist':
    case 'cable':
      return [];
  }
}

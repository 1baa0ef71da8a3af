import { isInstant } from './calendar.ts';
import { SAME_PLACE_M } from './draft-members.ts';
import { LARGEST_MASS_KG } from './draft-points.ts';
import type { Instant } from './structure.ts';

/** What the limits calculator is asked: points, members, limits and loads over time, without a published roof. */
export type LimitsInput = {
  points: { id: string; wllKg: number; memberId?: string | undefined; atM?: number | undefined }[];
  members?:
    | {
        id: string;
        lengthM: number;
        selfKgPerM: number;
        /** `total`: self weight is part of the demand; `imposed`: it is already taken off the allowables. */
        allowableIs: 'total' | 'imposed';
        /** Even along the member and on rigid level supports, so it changes no force. */
        ei: { eGpa: number; iCm4: number };
        supports: { id: string; atM: number }[];
        allowSaggingKnm: number;
        allowHoggingKnm: number;
        allowShearKn: number;
      }[]
    | undefined;
  limits: { id: string; kind: 'group' | 'weighted'; terms: { point: string; factor: number }[]; capacityKg: number }[];
  /** Instants in UTC with milliseconds. A point may appear twice in one load. */
  loads: { id: string; from: Instant; to: Instant; permanent?: boolean | undefined; points: { point: string; massKg: number }[] }[];
  closeFrom?: number | undefined;
};

export type InputFault = { readonly pointer: string; readonly code: string; readonly message: string };

const LARGEST_FORCE = 1_000_000; // kN, kNm

/** Everything impossible in the input at once, each with a JSON pointer to it. */
export function faultsIn(input: LimitsInput): InputFault[] {
  const faults: InputFault[] = [];
  const add = (pointer: string, code: string, message: string) => faults.push({ pointer, code, message });
  const number = (pointer: string, value: number, least: number, most: number) => {
    if (!Number.isFinite(value) || value < least || value > most) {
      add(pointer, 'number-out-of-range', `must be between ${least} and ${most}`);
    }
  };
  const identities = (list: string, items: readonly { id: string }[]) => {
    const seen = new Set<string>();
    for (const [index, { id }] of items.entries()) {
      if (seen.has(id)) add(`/${list}/${index}/id`, 'id-repeated', 'another one has this id');
      seen.add(id);
    }
    return seen;
  };
  const pointIds = identities('points', input.points);
  identities('members', input.members ?? []);
  identities('limits', input.limits);
  identities('loads', input.loads);
  const known = (pointer: string, id: string) => {
    if (!pointIds.has(id)) add(pointer, 'id-unknown', 'there is no point with this id');
  };
  const members = new Map((input.members ?? []).map((member) => [member.id, member]));

  for (const [index, { wllKg, memberId, atM }] of input.points.entries()) {
    const at = `/points/${index}`;
    number(`${at}/wllKg`, wllKg, 0, LARGEST_MASS_KG);
    if ((memberId === undefined) !== (atM === undefined)) add(at, 'value-missing', 'a point on a member needs memberId and atM');
    if (memberId === undefined || atM === undefined) continue;
    const member = members.get(memberId);
    if (member === undefined) add(`${at}/memberId`, 'id-unknown', 'there is no member with this id');
    else if (!(atM >= 0 && atM <= member.lengthM)) add(`${at}/atM`, 'station-off-member', `must be between 0 and ${member.lengthM} m`);
  }
  for (const [index, member] of (input.members ?? []).entries()) {
    const at = `/members/${index}`;
    number(`${at}/lengthM`, member.lengthM, SAME_PLACE_M, 100_000);
    number(`${at}/selfKgPerM`, member.selfKgPerM, 0, LARGEST_MASS_KG);
    for (const name of ['eGpa', 'iCm4'] as const) {
      const value = member.ei[name];
      if (!Number.isFinite(value) || value <= 0) add(`${at}/ei/${name}`, 'number-out-of-range', 'must be more than 0');
    }
    for (const name of ['allowSaggingKnm', 'allowHoggingKnm', 'allowShearKn'] as const)
      number(`${at}/${name}`, member[name], 0, LARGEST_FORCE);
    const seen = new Set<string>();
    for (const [place, { id, atM }] of member.supports.entries()) {
      if (seen.has(id)) add(`${at}/supports/${place}/id`, 'id-repeated', 'another support has this id');
      seen.add(id);
      if (!(atM >= 0 && atM <= member.lengthM)) {
        add(`${at}/supports/${place}/atM`, 'station-off-member', `must be between 0 and ${member.lengthM} m`);
      }
    }
  }
  for (const [index, { kind, terms, capacityKg }] of input.limits.entries()) {
    const at = `/limits/${index}`;
    number(`${at}/capacityKg`, capacityKg, 0, 1000 * LARGEST_MASS_KG);
    for (const [place, { point, factor }] of terms.entries()) {
      known(`${at}/terms/${place}/point`, point);
      number(`${at}/terms/${place}/factor`, factor, -1000, 1000);
      if (kind === 'group' && factor !== 1) add(`${at}/terms/${place}/factor`, 'group-factor-not-one', 'every factor of a group is 1');
    }
  }
  for (const [index, { from, to, points }] of input.loads.entries()) {
    const at = `/loads/${index}`;
    const instants = [from, to].map((instant, place) => {
      if (isInstant(instant)) return true;
      add(`${at}/${place === 0 ? 'from' : 'to'}`, 'instant-not-valid', 'must be an instant in UTC');
      return false;
    });
    if (instants.every(Boolean) && from >= to) add(`${at}/to`, 'interval-reversed', 'must be after from');
    for (const [place, { point, massKg }] of points.entries()) {
      known(`${at}/points/${place}/point`, point);
      number(`${at}/points/${place}/massKg`, massKg, 0, LARGEST_MASS_KG);
    }
  }
  if (input.closeFrom !== undefined && !(input.closeFrom > 0 && input.closeFrom <= 1)) {
    add('/closeFrom', 'number-out-of-range', 'must be above 0 and at most 1');
  }
  return faults;
}

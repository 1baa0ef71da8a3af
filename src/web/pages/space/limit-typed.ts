import { checkLimit } from '../../../domain/roof/draft-limits.ts';
import { memberLengthM } from '../../../domain/roof/draft-members.ts';
import type { Limit, RoofDraft } from '../../../domain/roof/structure.ts';
import { readRows, type Column, type Row } from '../../parts/typed-rows.ts';
import { lengthField, massField, readLength, readMass, type Entered, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { CORNERS, type Corner } from './outline.ts';
import { faultInRows, faultsOf, faultsUntold, messageAt } from './draft-faults-at.ts';

export type LimitRoof = Pick<RoofDraft, 'nodes' | 'points' | 'members'>;
export const LIMIT_KINDS = ['group', 'weighted', 'count', 'spacing', 'density', 'sideways', 'areaDensity'] as const;
export type LimitKind = (typeof LIMIT_KINDS)[number];

/** Texts as they stand in the form. Which of them count, the kind says. */
export type TypedLimit = {
  readonly label: string;
  readonly points: string;
  readonly memberId: string;
  readonly mass: string;
  readonly least: string;
  readonly count: string;
  readonly length: string;
  readonly reduced: string;
  readonly across: string;
  readonly along: string;
};
export type LimitField = keyof TypedLimit;

const FIELDS: Record<LimitKind, readonly LimitField[]> = {
  group: ['points', 'mass', 'least'],
  weighted: ['mass', 'least'],
  count: ['points', 'count'],
  spacing: ['memberId', 'length', 'reduced'],
  density: ['memberId', 'length', 'mass'],
  sideways: ['memberId', 'across', 'along'],
  areaDensity: ['mass'],
};
export const hasField = (kind: LimitKind, field: LimitField): boolean => FIELDS[kind].includes(field);

type Weight = Extract<Limit, { kind: 'weighted' }>['weights'][number];
export const weightColumns = (roof: LimitRoof): Column<keyof Weight>[] => [
  { name: 'pointId', label: words.standing.point, of: 'named', among: roof.points },
  { name: 'factor', label: words.limits.factor, of: 'plain' },
];

const EMPTY: TypedLimit = {
  label: '',
  points: '',
  memberId: '',
  mass: '',
  least: '',
  count: '',
  length: '',
  reduced: '',
  across: '',
  along: '',
};

/** An existing limit as the form shows it. */
export function typedLimit(limit: Limit | null, roof: LimitRoof, units: Units): TypedLimit {
  if (limit === null) return { ...EMPTY, memberId: roof.members[0]?.id ?? '' };
  const text = (value: number | null, as: (value: number) => string): string => (value === null ? '' : as(value));
  const mass = (massKg: number | null) => text(massKg, (kg) => massField(kg, units));
  const length = (lengthM: number) => lengthField(lengthM, units);
  const points = (ids: readonly string[]) => ids.map((id) => roof.points.find((point) => point.id === id)?.label ?? id).join(', ');
  const base = { ...EMPTY, label: limit.label };
  switch (limit.kind) {
    case 'group':
      return { ...base, points: points(limit.pointIds), mass: mass(limit.maxKg), least: mass(limit.minKg) };
    case 'weighted':
      return { ...base, mass: mass(limit.maxKg), least: mass(limit.minKg) };
    case 'count':
      return { ...base, points: points(limit.pointIds), count: String(limit.maxLoaded) };
    case 'spacing':
      return { ...base, memberId: limit.memberId, length: length(limit.minSpacingM), reduced: mass(limit.reducedKg) };
    case 'density':
      return { ...base, memberId: limit.memberId, length: length(limit.windowM), mass: mass(limit.maxKg) };
    case 'sideways':
      return { ...base, memberId: limit.memberId, across: text(limit.acrossKn, String), along: text(limit.alongKn, String) };
    case 'areaDensity':
      return { ...base, mass: mass(limit.maxKgPerM2) };
  }
}

/** Labels with commas or semicolons between them; where no label has a space in it, spaces do as well. */
export function pointsNamed(text: string, points: LimitRoof['points']): { ids: string[]; missing: string[] } {
  const idOf = (label: string) => points.find((point) => point.label === label)?.id;
  const labels = text
    .split(/[,;\n]+/)
    .map((label) => label.trim())
    .flatMap((label) => (idOf(label) === undefined ? label.split(/\s+/) : [label]))
    .filter((label) => label !== '');
  return {
    ids: [...new Set(labels.flatMap((label) => idOf(label) ?? []))],
    missing: labels.filter((label) => idOf(label) === undefined),
  };
}

export type ReadLimit = {
  /** Null where something cannot be read, or cannot be. */
  readonly limit: Limit | null;
  readonly faults: Partial<Record<LimitField, string>>;
  readonly weightFault: (key: number, name: string) => string | null;
  readonly cornerFault: (key: number, name: string) => string | null;
  /** What no field says alone. */
  readonly others: readonly string[];
};

type Rows = { readonly weights: readonly Row[]; readonly corners: readonly Row[] };
type Common = Pick<Limit, 'id' | 'label' | 'hard' | 'terms'>;

/**
 * The limit that the form says, and field by field what is wrong with it: what cannot be read, then what the roof's own rules refuse.
 * @param common  what the form does not ask for; its label is the form's
 * @param began  the form before anything was typed, and the limit that it showed: a number that nobody touched keeps its last digit
 */
export function readLimit(
  kind: LimitKind,
  typed: TypedLimit,
  rows: Rows,
  { common, roof, units, began }: { common: Common; roof: LimitRoof; units: Units; began: Limit | null },
): ReadLimit {
  const faults: Partial<Record<LimitField, string>> = {};
  const before = typedLimit(began, roof, units);
  const number = (field: LimitField, read: (text: string) => Entered, was: number | null | undefined, optional = false): number | null => {
    if (began !== null && was !== undefined && typed[field] === before[field]) return was;
    if (optional && typed[field].trim() === '') return null;
    const entered = read(typed[field]);
    if (entered.ok) return entered.value;
    faults[field] = words.points.faults[entered.fault];
    return null;
  };
  const mass = (text: string) => readMass(text, units);
  const length = (text: string) => readLength(text, units);
  const plain = (text: string) => readLength(text, { ...units, length: 'm' });
  const label = typed.label.trim();
  if (label === '') faults.label = words.points.faults.empty;
  if (hasField(kind, 'memberId') && typed.memberId === '') faults.memberId = words.limits.noMember;
  const named = pointsNamed(typed.points, roof.points);
  if (hasField(kind, 'points')) {
    if (named.missing.length > 0) faults.points = words.limits.noSuch(named.missing.join(', '));
    else if (named.ids.length === 0) faults.points = words.points.faults.empty;
  }
  const weights = readRows<Weight>(weightColumns(roof), kind === 'weighted' ? rows.weights : [], units);
  const corners = readRows<Corner>(CORNERS, kind === 'areaDensity' ? rows.corners : [], units);
  const was = <K extends string>(name: K): number | null | undefined =>
    began !== null && name in began ? (began as unknown as Record<K, number | null>)[name] : undefined;

  const made = ((): Limit | null => {
    const all = { ...common, label };
    switch (kind) {
      case 'group': {
        const [maxKg, minKg] = [number('mass', mass, was('maxKg')), number('least', mass, was('minKg'), true)];
        return maxKg === null ? null : { ...all, kind, pointIds: named.ids, maxKg, minKg };
      }
      case 'weighted': {
        const [maxKg, minKg] = [number('mass', mass, was('maxKg')), number('least', mass, was('minKg'), true)];
        return maxKg === null || weights.rows === null ? null : { ...all, kind, weights: [...weights.rows], maxKg, minKg };
      }
      case 'count': {
        const maxLoaded = /^\d+$/.test(typed.count.trim()) ? Number(typed.count) : NaN;
        if (!(maxLoaded >= 1)) faults.count = words.limits.countFault;
        return { ...all, kind, pointIds: named.ids, maxLoaded };
      }
      case 'spacing': {
        const minSpacingM = number('length', length, was('minSpacingM'));
        const reducedKg = number('reduced', mass, was('reducedKg'), true);
        return minSpacingM === null ? null : { ...all, kind, memberId: typed.memberId, minSpacingM, reducedKg };
      }
      case 'density': {
        const [windowM, maxKg] = [number('length', length, was('windowM')), number('mass', mass, was('maxKg'))];
        return windowM === null || maxKg === null ? null : { ...all, kind, memberId: typed.memberId, windowM, maxKg };
      }
      case 'sideways': {
        const [acrossKn, alongKn] = [number('across', plain, was('acrossKn'), true), number('along', plain, was('alongKn'), true)];
        return { ...all, kind, memberId: typed.memberId, acrossKn, alongKn };
      }
      case 'areaDensity': {
        const maxKgPerM2 = number('mass', mass, was('maxKgPerM2'));
        return maxKgPerM2 === null || corners.rows === null ? null : { ...all, kind, area: [...corners.rows], maxKgPerM2 };
      }
    }
  })();
  const isRead = Object.keys(faults).length === 0;
  const nodes = new Map(roof.nodes.map((node) => [node.id, node]));
  const known = {
    pointIds: new Set(roof.points.map(({ id }) => id)),
    memberLengths: new Map(roof.members.map((member) => [member.id, memberLengthM(member, nodes)])),
  };
  const impossible = made === null || !isRead ? [] : faultsOf((list) => checkLimit(made, known, list));
  for (const [field, names] of Object.entries(NAMES) as [LimitField, readonly string[]][]) {
    const told = hasField(kind, field) ? names.flatMap((name) => messageAt(impossible, name) ?? [])[0] : undefined;
    if (told !== undefined && faults[field] === undefined) faults[field] = told;
  }
  return {
    limit: isRead && impossible.length === 0 ? made : null,
    faults,
    weightFault: faultInRows(weights, impossible, 'weights'),
    cornerFault: faultInRows(corners, impossible, 'area'),
    others: faultsUntold(impossible, TOLD),
  };
}

const TOLD = /^\/(weights|area)\/\d+\/|^\/(maxKg|maxKgPerM2|minKg|minSpacingM|windowM|reducedKg|acrossKn|alongKn)$/;

/** Under which names the roof's rules speak of what a field says. */
const NAMES: Partial<Record<LimitField, readonly string[]>> = {
  mass: ['maxKg', 'maxKgPerM2'],
  least: ['minKg'],
  length: ['minSpacingM', 'windowM'],
  reduced: ['reducedKg'],
  across: ['acrossKn'],
  along: ['alongKn'],
};

import { randomUUID } from 'node:crypto';
import type { Existing } from '../../files/plan-import.ts';
import type { DraftValue } from '../../files/field-spec.ts';
import type { PointDraft } from '../../files/import-fields.ts';
import type { ImportPlan, RowPlan } from '../../files/import-plan.ts';
import type { Member, RoofDraft, RoofNode, RoofPoint } from '../../domain/roof/structure.ts';
import type { ItemChange } from '../../store/register/structure.ts';
import { PointSchema } from '../schemas/structure.ts';
import { labelKey } from '../../files/match-labels.ts';
import { refused, saidIn, type FaultAt, type ImportedRows, type ImportNote, type ImportRow, type RowFault } from './imported-rows.ts';

const STATES = { inService: 'in service', restricted: 'restricted', outOfService: 'out of service' } as const;
const STATE_OF: Record<string, RoofPoint['state']> = {
  'in service': 'inService',
  restricted: 'restricted',
  'out of service': 'outOfService',
};
const NOTHING_STATED = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
const NEW_POINT: Omit<RoofPoint, 'id' | 'label'> = {
  xM: 0,
  yM: 0,
  zM: 0,
  on: [],
  wllKg: null,
  reductions: [],
  maxAngleDeg: null,
  maxSidewaysKn: null,
  attachment: null,
  access: null,
  state: 'inService', // terms are not stated, so every check of it is unknown until the venue enters them
  stateReason: null,
  outOfService: [],
  inspectionDueDay: null,
  stiffnessKnPerM: null,
  terms: NOTHING_STATED,
};
/** 1 mm: nearer than this, two places on a drawing are one place. */
const SAME_PLACE_M = 0.001;

/** The points of the working copy as a table would tell them. */
export function pointDraftsOf({ points, members }: RoofDraft): Existing<PointDraft>[] {
  const labels = new Map(members.map(({ id, label }) => [id, label]));
  return points.map((point) => {
    const only = point.on.length === 1 ? point.on[0]! : null;
    return {
      id: point.id,
      label: point.label,
      xM: point.xM,
      yM: point.yM,
      zM: point.zM,
      wllKg: point.wllKg,
      memberLabel: only ? (labels.get(only.memberId) ?? null) : null,
      stationM: only?.stationM ?? null,
      attachment: point.attachment,
      access: point.access,
      state: STATES[point.state],
      stateReason: point.stateReason,
      inspectionDue: point.inspectionDueDay,
      maxAngleDeg: point.maxAngleDeg,
      sidewaysKn: point.maxSidewaysKn,
      basisText: null,
    };
  });
}

/** Lays the rows beside the working copy: what is entered, what stays, and what cannot be. */
export function importedPoints(plan: ImportPlan<PointDraft>, roof: RoofDraft, faultAt: FaultAt): ImportedRows {
  const known = new Map(roof.points.map((point) => [point.id, point]));
  const girders = new Girders(roof);
  const changes: ItemChange[] = [];
  const rows = plan.rows.map((row): ImportRow => {
    if (row.outcome !== 'add' && row.outcome !== 'change') return row;
    const base = row.outcome === 'change' ? known.get(row.id)! : { ...NEW_POINT, id: randomUUID(), label: row.draft.label };
    const made = pointFrom(base, row, girders, faultAt);
    if (!('point' in made)) return refused(row, made.faults);
    changes.push({ kind: 'point', id: base.id, ifMatch: row.outcome === 'add' ? null : 'any', body: made.point });
    return { ...row, notes: [...row.notes, ...made.notes] };
  });
  return { rows, changes };
}

type Made = { point: RoofPoint; notes: ImportNote[] } | { faults: RowFault[] };

function pointFrom(
  base: RoofPoint,
  row: Extract<RowPlan<PointDraft>, { outcome: 'add' | 'change' }>,
  girders: Girders,
  faultAt: FaultAt,
): Made {
  const said = saidIn(row);
  const point: RoofPoint = {
    ...base,
    ...plainFields(said),
    ...(said.has('state') || saidUnknown(row, 'state', faultAt) ? stateSaid(said) : {}),
  };
  if (said.has('stateReason')) point.stateReason = textOr(said.get('stateReason'));
  const notes: ImportNote[] = [];
  if (row.outcome === 'change' && base.terms.basis !== null) {
    if (isRated(base, point, (before, after) => after > before)) {
      point.terms = NOTHING_STATED; // the report that stands behind the lower rating says nothing of the higher one
      notes.push({ code: 'terms-cleared' });
    } else if (isRated(base, point, (before, after) => after < before)) notes.push({ code: 'terms-kept' });
  }
  const moved = ['xM', 'yM', 'zM'].some((field) => said.has(field));
  if (said.has('memberLabel') || said.has('stationM') || (moved && base.on.length > 0)) {
    const placed = girders.place(point, base, said);
    if ('problem' in placed) return { faults: [faultAt(row.rowNumber, placed.field, placed.code, placed.problem, placed.mend)] };
    point.on = placed.on;
    if (placed.reckonedM !== null) notes.push({ code: 'station-from-position', stationM: placed.reckonedM });
  }
  const fits = PointSchema.safeParse(point);
  if (fits.success) return { point: fits.data, notes };
  return {
    faults: fits.error.issues.map(({ path, message }) =>
      faultAt(row.rowNumber, FIELD_OF[String(path[0])] ?? String(path[0]), 'out-of-range', message, 'Check digits and unit.'),
    ),
  };
}

const RATINGS = ['wllKg', 'maxAngleDeg', 'maxSidewaysKn'] as const;
/** Whether any rating differs in this way; one not stated is none at all. */
const isRated = (before: RoofPoint, after: RoofPoint, differs: (before: number, after: number) => boolean): boolean =>
  RATINGS.some((rating) => differs(before[rating] ?? 0, after[rating] ?? 0));

const FIELD_OF: Record<string, string> = { inspectionDueDay: 'inspectionDue', maxSidewaysKn: 'sidewaysKn', on: 'stationM' };
const textOr = (value: DraftValue | undefined): string | null => (typeof value === 'string' ? value : null);

function plainFields(said: ReadonlyMap<string, DraftValue>): Partial<RoofPoint> {
  const number = (field: string) => (said.has(field) ? (said.get(field) as number | null) : undefined);
  const text = (field: string) => (said.has(field) ? textOr(said.get(field)) : undefined);
  const fields = {
    label: text('label') ?? undefined,
    xM: number('xM') ?? undefined,
    yM: number('yM') ?? undefined,
    zM: number('zM') ?? undefined,
    wllKg: number('wllKg'),
    maxAngleDeg: number('maxAngleDeg'),
    maxSidewaysKn: number('sidewaysKn'),
    attachment: text('attachment') as RoofPoint['attachment'] | undefined,
    access: text('access'),
    inspectionDueDay: text('inspectionDue'),
  };
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
}

/** A state that the file calls unknown is not one that a load may rely on. */
function stateSaid(said: ReadonlyMap<string, DraftValue>): Pick<RoofPoint, 'state' | 'stateReason'> {
  const state = STATE_OF[String(said.get('state'))];
  return state ? { state, stateReason: null } : { state: 'restricted', stateReason: 'The imported table calls the state unknown.' };
}

function saidUnknown({ rowNumber, notes }: RowPlan<unknown>, field: string, faultAt: FaultAt): boolean {
  const { letter } = faultAt(rowNumber, field, '', '', '');
  return letter !== null && notes.some((note) => note.code === 'said-unknown' && note.letter === letter);
}

type Placed =
  { on: RoofPoint['on']; reckonedM: number | null } | { field: 'memberLabel' | 'stationM'; code: string; problem: string; mend: string };

/** Where a point sits on the girders: a wrong station would load the wrong place, so nothing here is guessed. */
class Girders {
  readonly #byId: ReadonlyMap<string, Member>;
  readonly #byLabel: ReadonlyMap<string, Member>;
  readonly #nodes: ReadonlyMap<string, RoofNode>;

  constructor({ members, nodes }: RoofDraft) {
    this.#byId = new Map(members.map((member) => [member.id, member]));
    this.#byLabel = new Map(members.map((member) => [labelKey(member.label), member]));
    this.#nodes = new Map(nodes.map((node) => [node.id, node]));
  }

  place(point: RoofPoint, base: RoofPoint, said: ReadonlyMap<string, DraftValue>): Placed {
    if (base.on.length > 1) {
      const problem = 'The point hangs between several girders, which one row cannot say.';
      return { field: 'memberLabel', code: 'between-girders', problem, mend: 'Change its place in the working copy.' };
    }
    const label = said.get('memberLabel');
    if (said.has('memberLabel') && label === null) return { on: [], reckonedM: null };
    const member = typeof label === 'string' ? this.#byLabel.get(labelKey(label)) : this.#byId.get(base.on[0]?.memberId ?? '');
    if (!member) {
      const problem = typeof label === 'string' ? 'There is no girder of this name.' : 'A station needs the girder that it is on.';
      return { field: 'memberLabel', code: 'girder-not-known', problem, mend: 'Import the girders first, or correct the name.' };
    }
    const axis = this.#along(member, point);
    const stated = said.get('stationM');
    const stationM = typeof stated === 'number' ? stated : axis?.stationM;
    if (axis === null || stationM === undefined || stationM < -SAME_PLACE_M || stationM > axis.lengthM + SAME_PLACE_M) {
      const problem = `The place lies beyond the ends of girder ${member.label}.`;
      return { field: 'stationM', code: 'station-off-girder', problem, mend: 'Check the position, the station and the girder.' };
    }
    const withinM = Math.min(Math.max(stationM, 0), axis.lengthM);
    return { on: [{ memberId: member.id, stationM: withinM, share: 1 }], reckonedM: typeof stated === 'number' ? null : withinM };
  }

  /** The foot of the perpendicular from the point on the girder's axis, from its first node. */
  #along({ fromNodeId, toNodeId }: Member, point: RoofPoint): { stationM: number; lengthM: number } | null {
    const [from, to] = [this.#nodes.get(fromNodeId), this.#nodes.get(toNodeId)];
    if (!from || !to) return null;
    const [x, y, z] = [to.xM - from.xM, to.yM - from.yM, to.zM - from.zM];
    const lengthM = Math.sqrt(x * x + y * y + z * z);
    if (lengthM < SAME_PLACE_M) return null;
    return { stationM: ((point.xM - from.xM) * x + (point.yM - from.yM) * y + (point.zM - from.zM) * z) / lengthM, lengthM };
  }
}

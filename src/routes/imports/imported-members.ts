import { randomUUID } from 'node:crypto';
import type { Existing } from '../../files/plan-import.ts';
import type { DraftValue } from '../../files/field-spec.ts';
import type { Drafts } from '../../files/import-fields.ts';
import type { ImportPlan, RowPlan } from '../../files/import-plan.ts';
import { labelKey } from '../../files/match-labels.ts';
import type { Member, RoofDraft, RoofNode } from '../../domain/roof/structure.ts';
import type { ItemChange } from '../../store/register/structure.ts';
import { MemberSchema, NodeSchema } from '../schemas/structure.ts';
import { refused, saidIn, type FaultAt, type ImportedRows, type ImportRow, type RowFault } from './imported-rows.ts';

type MemberDraft = Drafts['members'];
type TakenRow = Extract<RowPlan<MemberDraft>, { outcome: 'add' | 'change' }>;
type Place = Pick<RoofNode, 'xM' | 'yM' | 'zM'>;

const PA_PER_GPA = 1e9;
const CM4_PER_M4 = 1e8;
/** 1 mm: nearer than this, two places on a drawing are one place. */
const SAME_PLACE_M = 0.001;
const NEW_MEMBER: Omit<Member, 'id' | 'label' | 'fromNodeId' | 'toNodeId'> = {
  supports: [],
  selfKgPerM: null,
  deadLoads: [],
  eGpa: null,
  iCm4: null,
  allowables: [],
  allowableIs: null,
  terms: { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null },
  panelPoints: null,
  otherEffectsBasis: null,
};

/** The members of the working copy as a table would tell them. */
export function memberDraftsOf({ members, nodes }: RoofDraft): Existing<MemberDraft>[] {
  const byId = new Map(nodes.map((node) => [node.id, node]));
  return members.map((member) => {
    const [from, to] = [byId.get(member.fromNodeId), byId.get(member.toNodeId)];
    return {
      id: member.id,
      label: member.label,
      fromNodeLabel: from?.label ?? null,
      toNodeLabel: to?.label ?? null,
      fromXM: from?.xM ?? null,
      fromYM: from?.yM ?? null,
      fromZM: from?.zM ?? null,
      toXM: to?.xM ?? null,
      toYM: to?.yM ?? null,
      toZM: to?.zM ?? null,
      selfWeightKgPerM: member.selfKgPerM,
      deadLoadKgPerM: member.deadLoads.length === 1 ? member.deadLoads[0]!.kgPerM : null,
      youngsModulusPa: member.eGpa === null ? null : member.eGpa * PA_PER_GPA,
      secondMomentM4: member.iCm4 === null ? null : member.iCm4 / CM4_PER_M4,
      basisText: null,
    };
  });
}

/** Lays the rows beside the working copy; nodes that are not there yet are made, once each. */
export function importedMembers(plan: ImportPlan<MemberDraft>, roof: RoofDraft, faultAt: FaultAt): ImportedRows {
  const known = new Map(roof.members.map((member) => [member.id, member]));
  const ends = new Ends(roof, plan);
  const changes: ItemChange[] = [];
  const rows = plan.rows.map((row): ImportRow => {
    if (row.outcome !== 'add' && row.outcome !== 'change') return row;
    const made = memberFrom(row.outcome === 'change' ? known.get(row.id)! : null, row, ends, faultAt);
    if (!('member' in made)) return refused(row, made.faults);
    for (const node of made.nodes) {
      ends.enter(node);
      changes.push({ kind: 'node', id: node.id, ifMatch: null, body: node });
    }
    changes.push({ kind: 'member', id: made.member.id, ifMatch: row.outcome === 'add' ? null : 'any', body: made.member });
    return row;
  });
  return { rows, changes };
}

function memberFrom(
  base: Member | null,
  row: TakenRow,
  ends: Ends,
  faultAt: FaultAt,
): { member: Member; nodes: RoofNode[] } | { faults: RowFault[] } {
  const said = saidIn(row);
  const from = ends.find('from', row.draft, null);
  const to = ends.find('to', row.draft, 'node' in from ? from.node : null);
  const faults = [from, to].flatMap((end) =>
    'node' in end
      ? []
      : [faultAt(row.rowNumber, end.field, end.code, end.problem, 'Correct the row, or change the node in the working copy.')],
  );
  if (!('node' in from) || !('node' in to)) return { faults };
  const lengthM = distanceM(from.node, to.node);
  if (lengthM < SAME_PLACE_M) {
    faults.push(faultAt(row.rowNumber, 'toXM', 'member-without-length', 'Both ends are at one place.', 'Correct one of them.'));
  }
  if (said.has('deadLoadKgPerM') && base && base.deadLoads.length > 1) {
    const problem = 'The girder carries several dead loads, which one number cannot say.';
    faults.push(faultAt(row.rowNumber, 'deadLoadKgPerM', 'several-dead-loads', problem, 'Change them in the working copy.'));
  }
  if (base && said.get('deadLoadKgPerM') === null) {
    const problem = 'A dead load that was known cannot become unknown.';
    faults.push(faultAt(row.rowNumber, 'deadLoadKgPerM', 'dead-load-unknown', problem, 'Enter the number, or leave the cell empty.'));
  }
  if (faults.length > 0) return { faults };
  const member: Member = {
    ...(base ?? { ...NEW_MEMBER, id: randomUUID(), label: row.draft.label }),
    label: row.draft.label,
    fromNodeId: from.node.id,
    toNodeId: to.node.id,
    ...measures(said, lengthM),
  };
  const fits = [MemberSchema.safeParse(member), NodeSchema.safeParse(from.node), NodeSchema.safeParse(to.node)];
  const issues = fits.flatMap(({ error }) => error?.issues ?? []);
  if (issues.length > 0) {
    return {
      faults: issues.map(({ path, message }) =>
        faultAt(row.rowNumber, FIELD_OF[String(path[0])] ?? String(path[0]), 'out-of-range', message, 'Check digits and unit.'),
      ),
    };
  }
  return { member, nodes: [from, to].flatMap(({ node, isNew }) => (isNew ? [node] : [])) };
}
const FIELD_OF: Record<string, string> = {
  selfKgPerM: 'selfWeightKgPerM',
  deadLoads: 'deadLoadKgPerM',
  eGpa: 'youngsModulusPa',
  iCm4: 'secondMomentM4',
};

function measures(said: ReadonlyMap<string, DraftValue>, lengthM: number): Partial<Member> {
  const fields: Partial<Member> = {};
  const numberSaid = (field: string, take: (value: number | null) => void) => {
    const value = said.get(field);
    if (value !== undefined && typeof value !== 'string') take(value);
  };
  numberSaid('selfWeightKgPerM', (value) => (fields.selfKgPerM = value));
  numberSaid('youngsModulusPa', (value) => (fields.eGpa = value === null ? null : value / PA_PER_GPA));
  numberSaid('secondMomentM4', (value) => (fields.iCm4 = value === null ? null : value * CM4_PER_M4));
  numberSaid('deadLoadKgPerM', (value) => {
    if (value !== null) fields.deadLoads = [{ fromM: 0, toM: lengthM, kgPerM: value }];
  });
  return fields;
}

const distanceM = (a: Place, b: Place): number => Math.hypot(a.xM - b.xM, a.yM - b.yM, a.zM - b.zM);

type End = { node: RoofNode; isNew: boolean } | { field: string; code: string; problem: string };

/** The ends of the members: nodes of the working copy, and those that the rows make. */
class Ends {
  readonly #byLabel: Map<string, RoofNode>;
  /** What rows say of nodes by label: two places for one label make every row that names it doubtful. */
  readonly #claimed = new Map<string, Place[]>();

  constructor({ nodes }: RoofDraft, plan: ImportPlan<MemberDraft>) {
    this.#byLabel = new Map(nodes.map((node) => [labelKey(node.label), node]));
    for (const row of plan.rows) {
      if (row.outcome !== 'add' && row.outcome !== 'change') continue;
      for (const side of ['from', 'to'] as const) {
        const { label, place } = endOf(side, row.draft);
        if (label !== null && place !== null) this.#claimed.set(labelKey(label), [...(this.#claimed.get(labelKey(label)) ?? []), place]);
      }
    }
  }

  enter(node: RoofNode): void {
    this.#byLabel.set(labelKey(node.label), node);
  }

  /** @param other  the member's other end, where it makes a node itself */
  find(side: 'from' | 'to', draft: MemberDraft, other: RoofNode | null): End {
    const { label, place } = endOf(side, draft);
    const near = (node: RoofNode) => place !== null && distanceM(node, place) < SAME_PLACE_M;
    if (label === null) {
      if (place === null)
        return { field: `${side}XM`, code: 'end-not-placed', problem: 'The end has neither a node nor a whole position.' };
      const there = [...this.#byLabel.values()].find(near);
      return there ? { node: there, isNew: false } : { node: this.#made(`${draft.label} ${side}`, place), isNew: true };
    }
    const key = labelKey(label);
    const known = this.#byLabel.get(key) ?? (other && labelKey(other.label) === key ? other : undefined);
    const claims = this.#claimed.get(key) ?? [];
    if (known) {
      if (place === null || near(known)) return { node: known, isNew: false };
      return { field: `${side}XM`, code: 'node-elsewhere', problem: `Node ${known.label} is at another place.` };
    }
    const [first] = claims;
    if (!first)
      return { field: `${side}NodeLabel`, code: 'node-not-known', problem: 'There is no node of this name, and no row says where it is.' };
    if (claims.some((claim) => distanceM(claim, first) >= SAME_PLACE_M)) {
      return { field: `${side}NodeLabel`, code: 'node-at-two-places', problem: 'Rows of the file put this node at different places.' };
    }
    return { node: this.#made(label, first), isNew: true };
  }

  #made(label: string, place: Place): RoofNode {
    let free = label;
    for (let count = 2; this.#byLabel.has(labelKey(free)); count += 1) free = `${label} ${count}`;
    return { id: randomUUID(), label: free, ...place };
  }
}

function endOf(side: 'from' | 'to', draft: MemberDraft): { label: string | null; place: Place | null } {
  const [label, xM, yM, zM] =
    side === 'from'
      ? [draft.fromNodeLabel, draft.fromXM, draft.fromYM, draft.fromZM]
      : [draft.toNodeLabel, draft.toXM, draft.toYM, draft.toZM];
  return { label, place: xM === null || yM === null || zM === null ? null : { xM, yM, zM } };
}

import type { DraftFault } from './draft-faults.ts';
import { FaultList } from './draft-faults.ts';
import { checkKeepOut, checkLimit, checkStandingLoad } from './draft-limits.ts';
import { checkMember, memberLengthM } from './draft-members.ts';
import { checkPlace, checkPoint } from './draft-points.ts';
import { checkSignedPolicy } from './policy.ts';
import type { RoofDraft } from './structure.ts';

/** Shape of a name in the IANA time zone data base; whether it exists is asked where the data base is, at publishing. */
const ZONE_NAME = /^[A-Za-z][A-Za-z0-9_+-]*(\/[A-Za-z0-9_+-]+){0,2}$/;

/**
 * Everything that stands in the way of publishing a working copy, all at once. What is merely not stated is no fault: it makes
 * checks `unknown`, and `remarksOn` lists it.
 */
export function checkDraft(draft: RoofDraft): DraftFault[] {
  const list = new FaultList();
  if (!ZONE_NAME.test(draft.timeZone)) {
    list.at('timeZone').add('zone-not-valid', 'must be the name of a time zone, such as Europe/Vienna', { zone: draft.timeZone });
  }
  checkIdentities(draft, list);
  const nodes = new Map(draft.nodes.map((node) => [node.id, node]));
  const memberLengths = new Map(draft.members.map((member) => [member.id, memberLengthM(member, nodes)]));
  const known = { pointIds: new Set(draft.points.map(({ id }) => id)), memberLengths };
  for (const [index, node] of draft.nodes.entries()) checkPlace(node, list.at('nodes', index));
  for (const [index, member] of draft.members.entries()) checkMember(member, nodes, list.at('members', index));
  for (const [index, point] of draft.points.entries()) checkPoint(point, memberLengths, list.at('points', index));
  for (const [index, limit] of draft.limits.entries()) checkLimit(limit, known, list.at('limits', index));
  for (const [index, keepOut] of draft.keepOuts.entries()) checkKeepOut(keepOut, list.at('keepOuts', index));
  for (const [index, load] of draft.standingLoads.entries()) checkStandingLoad(load, known, list.at('standingLoads', index));
  if (draft.policy === null) list.at('policy').add('policy-not-signed', 'a named set of values must be chosen and signed first');
  else list.faults.push(...checkSignedPolicy(draft.policy, '/policy'));
  return list.faults;
}

const IDENTIFIED = ['nodes', 'members', 'points', 'limits', 'keepOuts', 'standingLoads'] as const;
/** People speak and sign by these labels, so two of a kind must not share one. Ducts and drapes may. */
const CALLED_BY_LABEL: ReadonlySet<string> = new Set(['members', 'points', 'limits']);

function checkIdentities(draft: RoofDraft, list: FaultList): void {
  for (const kind of IDENTIFIED) {
    const [ids, labels] = [new Set<string>(), new Set<string>()];
    for (const [index, { id, label }] of draft[kind].entries()) {
      const at = list.at(kind, index);
      if (id === '') at.at('id').add('id-missing', 'must have an id');
      else if (ids.has(id)) at.at('id').add('id-repeated', 'another one has this id', { id });
      ids.add(id);
      if (!CALLED_BY_LABEL.has(kind)) continue;
      const name = label.trim();
      if (name === '') at.at('label').add('label-missing', 'must have a label');
      else if (labels.has(name)) at.at('label').add('label-repeated', 'another one has this label', { label: name });
      labels.add(name);
    }
  }
}

import type { Change } from './live-connection.ts';

type Key = readonly unknown[];

/** Published bytes and frozen plans never change; what is being edited is never moved from outside, only told of. */
const NEVER = new Set<unknown>(['roof', 'changes', 'frozen-plan', 'plan', 'plan-there', 'structure']);

export const standsStill = (key: Key): boolean => NEVER.has(key[0]);

const EDITS = new Set(['proposal.planChanged', 'proposal.takenBack', 'proposal.stale', 'structure.changed', 'policy.signed']);
/** Of what people edit as a whole: those who have it open are told, and look when they want to. */
export const isEdit = ({ type }: Change): boolean => EDITS.has(type);

/** What is shown of many things at once, by the kind of thing that changed. Of the thing itself everything is read again. */
const ALSO: Record<string, readonly string[]> = {
  proposal: ['proposals', 'board', 'loads', 'productions'],
  comment: ['proposals', 'board'],
  show: ['proposals', 'board', 'productions'],
  production: ['board', 'productions'],
  venue: ['venues', 'spaces', 'space'],
  space: ['spaces', 'space', 'venues'],
  structure: ['space'],
  revision: ['space', 'spaces', 'proposals', 'neighbours'],
  access: ['access', 'space', 'spaces', 'neighbours'],
  member: ['members', 'me'],
  invitation: ['invitations'],
  organisation: ['me', 'organisation'],
  equipment: ['equipment'],
  equipmentImport: ['equipment'],
};

/** Whether what a query has read may be different after a change. */
export function isTouched(key: Key, { type, subjectId }: Change): boolean {
  if (standsStill(key)) return false;
  if (key.includes(subjectId)) return true;
  return (ALSO[type.split('.')[0]!] ?? []).some((head) => head === key[0]);
}

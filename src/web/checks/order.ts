import type { Check } from '../../domain/assessment/assessment.ts';
import { pointIdsOfHang } from '../../domain/plan/attachment-places.ts';
import type { Hang } from '../../domain/plan/plan.ts';

export type CheckGroup = { readonly kind: Check['kind']; readonly checks: readonly Check[] };

/** What stops comes first, and what stops a yes before what only advises; what is not known stands before what fits. */
const RANK: Record<Check['verdict'], number> = { over: 0, unknown: 1, close: 2, fits: 3 };

type Ranked = Pick<Check, 'id' | 'verdict' | 'hard' | 'utilisation'>;

export const worstFirst = (a: Ranked, b: Ranked): number =>
  RANK[a.verdict] - RANK[b.verdict] ||
  Number(b.hard) - Number(a.hard) ||
  (b.utilisation ?? -1) - (a.utilisation ?? -1) ||
  (a.id < b.id ? -1 : 1);

/** By the kind of limit, the group with the worst check first. */
export function groupedChecks(checks: readonly Check[]): CheckGroup[] {
  const groups = new Map<Check['kind'], Check[]>();
  for (const check of [...checks].sort(worstFirst)) {
    const group = groups.get(check.kind);
    if (group) group.push(check);
    else groups.set(check.kind, [check]);
  }
  return [...groups].map(([kind, inside]) => ({ kind, checks: inside }));
}

/** The worst check that stops a yes, at each point that has one. What only advises stands in the list, and is counted beside the verdict. */
export function worstByPoint(checks: readonly Check[]): Map<string, Check> {
  const worst = new Map<string, Check>();
  for (const check of checks.filter(({ hard }) => hard).sort(worstFirst))
    if (check.pointId !== null && !worst.has(check.pointId)) worst.set(check.pointId, check);
  return worst;
}

/** Of each hang the worst that stops a yes, of its own checks and of the points that it uses. */
export function worstByHang(checks: readonly Check[]): (hang: Hang) => Check | undefined {
  const atPoints = worstByPoint(checks);
  const own = new Map<string, Check>();
  for (const check of checks) {
    if (!check.hard || check.hangId === null) continue;
    const before = own.get(check.hangId);
    if (before === undefined || worstFirst(check, before) < 0) own.set(check.hangId, check);
  }
  return (hang) =>
    [own.get(hang.id), ...pointIdsOfHang(hang).map((pointId) => atPoints.get(pointId))]
      .filter((check) => check !== undefined)
      .sort(worstFirst)[0];
}

/** Of the point's own rating, which is what a share at a point means to a rigger: the most by its hard checks, as its mark goes by them. */
export function ratingShares(checks: readonly Check[]): Map<string, number> {
  const shares = new Map<string, number>();
  for (const { kind, hard, pointId, utilisation } of checks)
    if (kind === 'pointDown' && hard && pointId !== null && utilisation !== null)
      shares.set(pointId, Math.max(shares.get(pointId) ?? 0, utilisation));
  return shares;
}

/** A hard check that is over or unknown: a yes needs a change, or more than one person. */
export const isStopping = ({ hard, verdict }: Pick<Check, 'hard' | 'verdict'>): boolean =>
  hard && (verdict === 'over' || verdict === 'unknown');
const hardFirst = (a: Ranked, b: Ranked): number => Number(b.hard) - Number(a.hard) || worstFirst(a, b);

/** Each check that a yes has to tick, which is everything that does not simply fit: what stops a yes, and what is to be known. */
export function toTick(checks: readonly Check[]): { stopping: Check[]; toKnow: Check[] } {
  const wanted = checks.filter(({ verdict }) => verdict !== 'fits').sort(hardFirst);
  return { stopping: wanted.filter(isStopping), toKnow: wanted.filter((check) => !isStopping(check)) };
}

/** How many checks that only advise are over or unknown. */
export const advisedAgainst = (checks: readonly Check[]): number =>
  checks.filter(({ hard, verdict }) => !hard && (verdict === 'over' || verdict === 'unknown')).length;

import type { Hang, Plan } from '../../../domain/plan/plan.ts';
import { canonicalBytes, type Json } from '../../../domain/foundation/canonical.ts';

export type HangChange = {
  readonly hang: Hang;
  readonly kind: 'added' | 'removed' | 'changed';
  readonly massBeforeKg: number | null;
  readonly massKg: number | null;
  readonly moved: boolean;
};

/** What is different between two submitted plans, hang by hang. */
export function hangChanges(before: Plan, after: Plan): HangChange[] {
  const old = new Map(before.hangs.map((hang) => [hang.id, hang]));
  const now = new Set(after.hangs.map(({ id }) => id));
  const changed = after.hangs.flatMap((hang): HangChange[] => {
    const was = old.get(hang.id);
    if (!was) return [{ hang, kind: 'added', massBeforeKg: null, massKg: listedKg(hang), moved: false }];
    if (sameJson(was, hang)) return [];
    return [
      { hang, kind: 'changed', massBeforeKg: listedKg(was), massKg: listedKg(hang), moved: !sameJson(placesOf(was), placesOf(hang)) },
    ];
  });
  const removed = before.hangs
    .filter(({ id }) => !now.has(id))
    .map((hang): HangChange => ({ hang, kind: 'removed', massBeforeKg: listedKg(hang), massKg: null, moved: false }));
  return [...changed, ...removed];
}

const sameJson = (a: unknown, b: unknown): boolean => canonicalBytes(a as Json) === canonicalBytes(b as Json);
const placesOf = ({ pickUps }: Hang) => pickUps.map(({ id, position, attachment }) => ({ id, position, attachment }));

/** What the plan lists of it, without contingency; null where a mass is not stated. */
function listedKg(hang: Hang): number | null {
  const build = hang.kind === 'array' ? hang.build : null;
  const parts: (number | null)[] = [
    ...hang.items.map(({ count, massKg }) => (massKg === null ? null : count * massKg)),
    ...(build === null
      ? []
      : [build.frame.massKg, ...build.elements.map(({ massKg }) => massKg), ...build.extras.map(({ massKg }) => massKg)]),
  ];
  return parts.includes(null) ? null : parts.reduce<number>((sum, kg) => sum + (kg ?? 0), 0);
}

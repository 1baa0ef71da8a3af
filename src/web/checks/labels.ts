import type { Check } from '../../domain/assessment/assessment.ts';
import type { Hang } from '../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../domain/roof/structure.ts';
import { words } from '../words.ts';

/** What a check or a load is about. */
type About = Pick<Check, 'limitId' | 'memberId' | 'pointId'> & Partial<Pick<Check, 'pickUpId' | 'hangId'>>;
export type Labels = { readonly of: (about: About) => string; readonly point: (pointId: string) => string };

/** Checks name things by their ids; people by what is painted on them. */
export function labelsOf(roof: Pick<PublishedRoof, 'points' | 'limits' | 'members'>, hangs: readonly Hang[]): Labels {
  const names = new Map<string, string>();
  for (const one of [...roof.points, ...roof.limits, ...roof.members, ...hangs]) names.set(one.id, one.label);
  for (const { label, pickUps } of hangs)
    for (const pickUp of pickUps) names.set(pickUp.id, pickUp.chalk === '' || pickUp.chalk === label ? label : `${label} ${pickUp.chalk}`);
  const name = (id: string | null | undefined): string | null =>
    id === null || id === undefined ? null : (names.get(id) ?? words.checks.gone);
  return {
    of: ({ limitId, memberId, pointId, pickUpId, hangId }) =>
      name(limitId) ?? name(pointId) ?? name(memberId) ?? name(pickUpId) ?? name(hangId) ?? words.checks.whole,
    point: (pointId) => names.get(pointId) ?? words.checks.gone,
  };
}

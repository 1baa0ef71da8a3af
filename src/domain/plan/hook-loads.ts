import { arrayHookLoads } from './array-hook-loads.ts';
import type { HangFinding, HookLoads, HookRules } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import { givenHookLoads, listedHookLoads } from './listed-hook-loads.ts';
import type { Anchors } from './pull.ts';
import { trussFrameHookLoads } from './truss-frame-hook-loads.ts';
import { trussHookLoads } from './truss-hook-loads.ts';
import type { Hang, Plan } from './plan.ts';
import type { LikeTrusses } from './truss-answer.ts';

/** The hang's own pull on each of its hooks: as given, or by the statics of its kind. */
export function hookLoads(plan: Plan, hang: Hang, rules: HookRules, anchors: Anchors, like: LikeTrusses): HookLoads {
  if (hang.pickUps.every(({ givenLoad }) => givenLoad === null)) return ownHookLoads(plan, hang, rules, anchors, like);
  const given = hang.pickUps.flatMap(({ id, givenLoad }) => (givenLoad === null ? [] : [{ id, givenLoad }]));
  const loads = givenHookLoads(hang, given, rules);
  return { ...loads, findings: [...loads.findings, ...strengthBesideGiven(plan, hang, rules, anchors, like)] };
}

function ownHookLoads(plan: Plan, hang: Hang, rules: HookRules, anchors: Anchors, like: LikeTrusses): HookLoads {
  switch (hang.kind) {
    case 'single':
    case 'cablePick':
      return listedHookLoads(hang, rules.contingency);
    case 'array':
      return arrayHookLoads(hang, rules.contingency);
    case 'truss':
      return trussHookLoads(plan, hang, rules, anchors, like);
    case 'trussFrame':
      return trussFrameHookLoads(plan, hang, rules, anchors);
  }
}

/** Who gives the loads of an array or truss has said nothing of whether it holds together: that still comes from its build. */
function strengthBesideGiven(plan: Plan, hang: Hang, rules: HookRules, anchors: Anchors, like: LikeTrusses): readonly HangFinding[] {
  switch (hang.kind) {
    case 'single':
    case 'cablePick':
      return [];
    case 'array':
      if (hang.build === null) return [notStated('configuration', 'permitted', { code: 'configuration-not-stated', of: 'array' })];
      break;
    case 'truss':
    case 'trussFrame':
      if (hang.build === null) return [notStated('truss', 'strength', { code: 'build-not-stated', of: 'truss' })];
  }
  const own = ownHookLoads(plan, hang, rules, anchors, like);
  if (own.findings.length > 0) return own.findings;
  return [{ ...BLANK_FINDING, kind: 'configuration', subject: 'strength', state: 'unknown', why: own.missing }];
}

const notStated = (kind: HangFinding['kind'], subject: string, why: HangFinding['why'][number]): HangFinding => ({
  ...BLANK_FINDING,
  kind,
  subject,
  state: 'unknown',
  why: [why],
});

import { arrayHookLoads } from './array-hook-loads.ts';
import type { HookLoads, HookRules } from './hook-load.ts';
import { givenHookLoads, listedHookLoads } from './listed-hook-loads.ts';
import type { Anchors } from './pull.ts';
import { trussFrameHookLoads } from './truss-frame-hook-loads.ts';
import { trussHookLoads } from './truss-hook-loads.ts';
import type { Hang, Plan } from './plan.ts';

/** The hang's own pull on each of its hooks: as given, or by the statics of its kind. */
export function hookLoads(plan: Plan, hang: Hang, rules: HookRules, anchors: Anchors): HookLoads {
  const given = hang.pickUps.flatMap(({ id, givenLoad }) => (givenLoad === null ? [] : [{ id, givenLoad }]));
  if (given.length > 0) return givenHookLoads(hang, given, rules.contingency);
  switch (hang.kind) {
    case 'single':
    case 'cablePick':
      return listedHookLoads(hang, rules.contingency);
    case 'array':
      return arrayHookLoads(hang, rules.contingency);
    case 'truss':
      return trussHookLoads(plan, hang, rules, anchors);
    case 'trussFrame':
      return trussFrameHookLoads(plan, hang, rules, anchors);
  }
}

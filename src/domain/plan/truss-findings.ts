import type { TrussHang as StaticsHang } from '../statics/truss.ts';
import { offNodes } from '../statics/truss-table.ts';
import type { HangFinding, HookLoad, HookLoads } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { Hang, TrussSection } from './plan.ts';

/** Further than this from a node a hoist or load bends the chord. Our cautious choice, no source. */
const NODE_TOLERANCE_M = 0.05;

/** Facts of the hang that the statics of trusses need and that are not stated. */
export function missingOfHang(hang: Hang, placed: readonly { pickUpId: string }[]): Missing[] {
  const missing: Missing[] = [];
  if (hang.items.length + hang.cables.length > 0) missing.push({ code: 'items-without-place', of: 'truss' });
  if (hang.pickUps.length === 0) missing.push({ code: 'no-pick-up', of: 'hang' });
  if (hang.pickUps.some(({ id }) => !placed.some(({ pickUpId }) => pickUpId === id)))
    missing.push({ code: 'pick-up-without-place', of: 'truss' });
  return missing;
}

/** Nothing of the split is known: each hook may carry anything. */
export function notKnown(hang: Hang, takeOff: HookLoads['takeOff'], missing: readonly Missing[]): HookLoads {
  const hooks = hang.pickUps.map(({ id }): HookLoad => ({
    pickUpId: id,
    restingKg: 0,
    buildKg: 0,
    movingKg: 0,
    slackKg: null,
    whenLost: [],
    missing,
    reckonings: [],
  }));
  return { hooks, takeOff, missing, findings: [], places: [], cautions: [] };
}

/** Hoists without which the hang tips: advice, as every case of a lost hoist. */
export function tipFindings(lost: readonly { readonly lost: string; readonly tips: boolean }[]): HangFinding[] {
  const tips = [...new Set(lost.filter((one) => one.tips).map((one) => one.lost))].sort();
  return tips.map((id) => ({
    ...BLANK_FINDING,
    kind: 'truss',
    subject: `${id}:lost`,
    pickUpId: id,
    hard: false,
    case: 'slack',
    state: 'forbidden',
    why: [{ code: 'tips-without-hoist', of: 'truss' }],
  }));
}

/** Hoists and point loads away from a node bend the chord between two of them, which a truss as a beam does not show. */
export function nodeFinding(
  subject: string,
  { nodeSpacingM }: TrussSection,
  hang: Pick<StaticsHang, 'hoists' | 'pointLoads'>,
): HangFinding[] {
  const nodes = nodeSpacingM === null || nodeSpacingM === 0 ? null : { firstM: 0, spacingM: nodeSpacingM, toleranceM: NODE_TOLERANCE_M };
  const off = offNodes(hang, nodes);
  const about = { ...BLANK_FINDING, kind: 'truss', subject } as const;
  if (off === null) return [{ ...about, state: 'unknown', why: [{ code: 'node-spacing-not-stated', of: 'truss' }] }];
  if (off.length === 0) return [{ ...about, state: 'told' }];
  return [{ ...about, state: 'unknown', why: off.map(({ what }) => ({ code: 'load-off-node', of: what })) }];
}

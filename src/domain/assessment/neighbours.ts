import type { AssessInput } from './assess.ts';
import { assess } from './assess.ts';
import { AssessmentMemory } from './memory.ts';
import type { Check, NeighbourLoad } from './assessment.ts';

/** A standing agreement among everything else that hangs in its time as it is, and the loads of a new yes. */
export type StandingAmong = Omit<AssessInput, 'expectedNeighbourCount'> & { readonly newLoads: readonly NeighbourLoad[] };

/** Ids of hard checks of the standing agreement, ascending. */
export type NeighbourAnswer = {
  /** Would become `over` or `unknown`, or are over already and would get worse: the new yes cannot be given. */
  readonly broken: string[];
  /**
   * Would become `close`, or are `unknown`, were agreed to as they stood, and would be loaded more: shown to whoever decides, and told
   * to the neighbour.
   */
  readonly close: string[];
};

/** Relative: less than this is rounding, not a heavier load. */
const ROUNDING = 1e-9;

/** What a new yes would do to one that stands. Its loads take the place of whatever the same neighbour has hanging there now. */
export function neighboursStillHold({ newLoads, ...standing }: StandingAmong): NeighbourAnswer {
  const replaced = new Set(newLoads.map(({ ref }) => ref));
  const after = [...standing.neighbours.filter(({ ref }) => !replaced.has(ref)), ...newLoads];
  const memory = new AssessmentMemory();
  const now = new Map(assess(standing, memory).outcome.checks.map((check) => [check.id, check]));
  const broken: string[] = [];
  const close: string[] = [];
  for (const check of assess({ ...standing, neighbours: after }, memory).outcome.checks) {
    if (!check.hard) continue;
    const before = now.get(check.id);
    if (breaks(before, check)) broken.push(check.id);
    else if (isWorthTelling(before, check)) close.push(check.id);
  }
  return { broken, close };
}

function breaks(before: Check | undefined, after: Check): boolean {
  if (after.verdict === 'over') return before?.verdict !== 'over' || isLoadedMore(before, after);
  return after.verdict === 'unknown' && before?.verdict !== 'unknown' && before?.verdict !== 'over';
}

function isWorthTelling(before: Check | undefined, after: Check): boolean {
  if (after.verdict === 'close') return before === undefined || before.verdict === 'fits';
  return after.verdict === 'unknown' && before?.verdict === 'unknown' && isLoadedMore(before, after);
}

/** Nearer to its limit, in the limit's own sense: a least sum is approached from above. */
function isLoadedMore(before: Check, after: Check): boolean {
  const grows = (from: number, to: number) => to > from + Math.abs(from) * ROUNDING;
  if (before.utilisation !== null && after.utilisation !== null) return grows(before.utilisation, after.utilisation);
  const [demandBefore, demandAfter] = [before.demand ?? 0, after.demand ?? 0];
  return after.id.endsWith(':least') ? grows(-demandBefore, -demandAfter) : grows(demandBefore, demandAfter);
}

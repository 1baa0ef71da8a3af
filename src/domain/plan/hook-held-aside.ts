import type { PositionM } from '../foundation/vector.ts';
import { solveLinesAtPoint } from '../statics/plumb-lines.ts';
import type { LinesOutcome } from '../statics/plumb-lines.ts';
import type { Aside, AsideRefusal, EndedLine, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import type { Plumb } from './plumb.ts';

type Solved = Extract<LinesOutcome, { known: true }>;

/**
 * A hang on one hook, held where it is drawn by one or two lines besides its own and by guys. All that the line weighs counts at the hook,
 * which pulls its lines more than where it really is.
 * @param largestContingency  what may be reckoned too much of the load: where guys pull, less load may ask more of another line
 */
export function hookHeldAside(
  hook: PositionM,
  top: PositionM,
  sides: readonly EndedLine[],
  drawn: Plumb,
  largestContingency: number,
): Aside | AsideRefusal {
  const hasGuy = sides.some(({ kind }) => kind === 'guy');
  // A guy that goes up carries a part of the load, and how much only a scale could tell.
  const carrying = sides.findIndex(({ kind, end }) => kind === 'guy' && end.zM > hook.zM);
  if (carrying >= 0) return { why: { code: 'guy-carries', of: nameOf(carrying) }, sure: false };
  const solve = (loadN: number): Solved | AsideRefusal => {
    const found = solveLinesAtPoint(hook, loadN, [
      { id: 'hoist', kind: 'hoist', to: top, pretensionN: null },
      ...sides.map(({ kind, end, pretensionKn }, index) => ({
        id: nameOf(index),
        kind: kind === 'guy' ? ('guy' as const) : ('breastline' as const),
        to: end,
        pretensionN: pretensionKn === null ? null : pretensionKn * 1000,
      })),
    ]);
    if (!found.ok) {
      const off = 'offM' in found.error ? `, ${Math.ceil(found.error.offM * 1000)} mm from where it could` : '';
      return { why: { code: found.error.code, of: `lines off plumb${off}` }, sure: true };
    }
    return found.value.known ? found.value : { why: { code: found.value.reason, of: found.value.lines.join(', ') }, sure: false };
  };
  const under = (loadN: number): Tensions | AsideRefusal => {
    const most = solve(loadN);
    const least = hasGuy ? solve(loadN / (1 + largestContingency)) : most;
    if (isRefusal(most)) return most;
    if (isRefusal(least)) return least;
    const worst = most.lines.map((line, index) => {
      const other = least.lines[index];
      return other !== undefined && other.tensionN > line.tensionN ? other.pull : line.pull;
    });
    const [hoist, ...lines] = worst;
    if (hoist === undefined) throw new Error('a hang that is held aside has a line of its own');
    return { hoist, lines };
  };
  const plumb: Plumb = {
    ...drawn,
    angleDeg: drawn.angleDeg === null ? null : 0,
    ...(drawn.angleDeg === null ? {} : { heldAtDeg: drawn.angleDeg }),
  };
  return { under: ({ loadN }) => under(loadN), plumb };
}

/**
 * What the line of the hook sees at the bottom of the first swing when this line is lost, as a multiple of the load; null where the hang
 * would come to rest is not computed.
 * @source energy of a pendulum, as in the statics of lines off plumb
 */
export function swingFactor(hook: PositionM, top: PositionM, sides: readonly EndedLine[]): number | null {
  const found = solveLinesAtPoint(hook, 1, [
    { id: 'hoist', kind: 'hoist', to: top, pretensionN: null },
    ...sides.map(({ end }, index) => ({ id: nameOf(index), kind: 'breastline' as const, to: end, pretensionN: null })),
  ]);
  const [lost] = found.ok && found.value.known ? found.value.lost : [];
  return lost?.state === 'plumb' ? lost.peakN : null;
}

export const nameOf = (index: number): string => `line off plumb ${index}`;

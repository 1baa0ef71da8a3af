import type { PositionM } from '../foundation/vector.ts';
import { solveLinesAtPoint } from '../statics/plumb-lines.ts';
import type { LinesOutcome } from '../statics/plumb-lines.ts';
import type { Aside, AsideRefusal, EndedLine, EndPull, Tensions } from './aside.ts';
import { isRefusal } from './aside.ts';
import type { Plumb } from './plumb.ts';

type Solved = Extract<LinesOutcome, { known: true }>;

/**
 * A hang on one hook, held where it is drawn by one or two lines besides its own and by guys. All that the line weighs counts at the hook,
 * which pulls its lines more than where it really is. A guy may slacken: what its pull takes off another line is not counted.
 * @param largestContingency  what may be reckoned too much of the load: where guys pull, less load may ask more of another line, at rest
 *                            and while it is lighter as it moves
 */
export function hookHeldAside(
  place: PositionM,
  top: PositionM,
  sides: readonly EndedLine[],
  drawn: Plumb,
  largestContingency: number,
): Aside | AsideRefusal {
  const carrying = carryingGuy(sides, () => place);
  if (carrying !== null) return carrying;
  const named = sides.map((side, index) => ({ ...side, name: nameOf(index) }));
  const solve = (loadN: number, lines: typeof named): Solved | AsideRefusal => {
    const found = solveLinesAtPoint(place, loadN, [
      { id: 'hoist', kind: 'hoist', to: top, pretensionN: null },
      ...lines.map(({ kind, end, pretensionKn, name }) => ({
        id: name,
        kind: kind === 'guy' ? ('guy' as const) : ('breastline' as const),
        to: end,
        pretensionN: pretensionKn === null ? null : pretensionKn * 1000,
      })),
    ]);
    if (!found.ok) {
      const off = 'offM' in found.error ? `, ${Math.ceil(found.error.offM * 1000)} mm from where it could` : '';
      return { why: { code: found.error.code, of: `lines off plumb${off}` }, sure: found.error.code !== 'lines-nearly-parallel' };
    }
    return found.value.known ? found.value : { why: { code: found.value.reason, of: found.value.lines.join(', ') }, sure: false };
  };
  // Guys that have slackened: all of them, or any one. Where the hang does not stay as drawn without them, they are what holds it.
  const guys = named.filter(({ kind }) => kind === 'guy');
  const slackened = guys.length === 0 ? [] : [guys, ...(guys.length > 1 ? guys.map((guy) => [guy]) : [])];
  // What moves is lighter for a moment too, by as much as it is heavier.
  const under = (loadN: number, factor: number): Tensions | AsideRefusal => {
    const ways: Solved[] = [];
    const leastN = ((Math.max(0, 2 - factor) / factor) * loadN) / (1 + largestContingency);
    for (const weightN of guys.length === 0 ? [loadN] : [loadN, leastN]) {
      const all = solve(weightN, named);
      // What only a moment asks for, it may not be drawn for.
      if (isRefusal(all)) return { ...all, sure: all.sure && (weightN === loadN || factor === 1) };
      ways.push(all);
      for (const gone of slackened) {
        const left = solve(
          weightN,
          named.filter((side) => !gone.includes(side)),
        );
        if (!isRefusal(left)) ways.push(left);
      }
    }
    const worst = (id: string): EndPull => {
      const solved = ways.flatMap(({ lines }) => lines.filter((line) => line.id === id));
      return solved.reduce((most, line) => (line.tensionN > most.tensionN ? line : most), solved[0] ?? bug()).pull;
    };
    return { hoists: [worst('hoist')], lines: named.map(({ name }) => worst(name)) };
  };
  const plumb: Plumb = {
    ...drawn,
    angleDeg: drawn.angleDeg === null ? null : 0,
    ...(drawn.angleDeg === null ? {} : { heldAtDeg: drawn.angleDeg }),
  };
  return { under: ({ hooks: [hook], factor }) => under(hook?.loadN ?? bug(), factor), plumbs: [plumb], notes: [] };
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

function bug(): never {
  throw new Error('every line of a solved hang has a pull');
}

/** A guy that goes up carries a part of the load, and how much only a scale could tell. */
export function carryingGuy(sides: readonly EndedLine[], hookOf: (side: EndedLine) => PositionM): AsideRefusal | null {
  const carrying = sides.findIndex((side) => side.kind === 'guy' && side.end.zM > hookOf(side).zM);
  return carrying < 0 ? null : { why: { code: 'guy-carries', of: nameOf(carrying) }, sure: false };
}

export const nameOf = (index: number): string => `line off plumb ${index + 1}`;

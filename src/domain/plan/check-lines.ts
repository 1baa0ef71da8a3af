import { pointIdsOf } from './attachment-places.ts';
import type { PlanFault } from './plan-fault.ts';
import type { Hang, LineOffPlumb } from './plan.ts';

const fault = (pointer: string, code: string, message: string): PlanFault => ({ pointer, code, message });

/** What cannot be in the lines off plumb of a hang, and what no statics are offered for. */
export function lineFaults(hang: Hang, notComputed: string, at: string): PlanFault[] {
  const lines = hang.linesOffPlumb ?? [];
  if (lines.length === 0) return [];
  const faults = lines.flatMap((line, index) => oneFaults(hang, line, `${at}/linesOffPlumb/${index}`));
  const taken = hang.pickUps.flatMap(({ attachment, secondary }) => [...pointIdsOf(attachment), ...(secondary ? [secondary.pointId] : [])]);
  for (const [index, { to }] of lines.entries()) {
    if (!('pointId' in to)) continue;
    if (taken.includes(to.pointId))
      faults.push(fault(`${at}/linesOffPlumb/${index}/to/pointId`, 'point-twice', 'a line off plumb needs a point of its own'));
    taken.push(to.pointId);
  }
  const why = whyNotComputed(hang, lines);
  return why === null ? faults : [...faults, fault(`${at}/linesOffPlumb`, notComputed, why)];
}

function oneFaults(hang: Hang, { kind, at, pretensionKn }: LineOffPlumb, pointer: string): PlanFault[] {
  const faults: PlanFault[] = [];
  if (kind !== 'guy' && pretensionKn !== null)
    faults.push(fault(`${pointer}/pretensionKn`, 'pretension-of-a-guy-only', 'what another line pulls follows from equilibrium'));
  if (hang.kind !== 'array') {
    if (at !== null) faults.push(fault(`${pointer}/at`, 'no-place-on-this-kind', 'only an array has places to make a line fast'));
  } else if (at === null) faults.push(fault(`${pointer}/at`, 'place-on-array-missing', 'say where on the array it is made fast'));
  else if (at.on !== 'frame' && (hang.build === null || !Number.isInteger(at.on) || at.on < 0 || at.on >= hang.build.elements.length))
    faults.push(fault(`${pointer}/at/on`, 'no-such-element', 'is no element of the array'));
  return faults;
}

const BY_STIFFNESS = 'follows from how stiff each is, not from equilibrium alone';
const BY_AN_ENGINEER =
  'take the lines out, enter the load of each pick-up as an engineer gives it, and put what the lines pull to the venue by itself';

/**
 * Determinate ones are solved: a hang on one hook with one or two lines besides its guys, and an array on one hole or two with one pull-back.
 * The others are refused with why, and with what to do instead.
 */
function whyNotComputed(hang: Hang, lines: readonly LineOffPlumb[]): string | null {
  const { kind, pickUps, support } = hang;
  if (kind === 'truss' || kind === 'trussFrame')
    return `a line off plumb bends a truss sideways and turns it: what its hoists and the line share ${BY_STIFFNESS}. So ${BY_AN_ENGINEER}`;
  const [pickUp, ...more] = pickUps;
  if (pickUp === undefined) return 'a hang that a line holds aside needs its pick-up';
  if (more.length >= (kind === 'array' ? 2 : 1))
    return `what ${pickUps.length} pick-ups and a line off plumb share ${BY_STIFFNESS}. So ${BY_AN_ENGINEER}`;
  if (pickUps.some(({ attachment }) => attachment.kind !== 'direct'))
    return 'a line off plumb draws the hook aside, and with it the apex or ring above out of where its legs hold it: hang the hook on a line straight to a point';
  if (support === 'ground')
    return 'what the ground carries of a hang that stands on it is not known, so neither is what a line off plumb holds of it: take the lines out, or lift it clear';
  if (kind === 'array') return whyNotOnArray(hang, lines);
  if (lines.some((line) => line.kind === 'pullBack')) return 'a pull-back turns an array: on a hang at one hook, enter it as a breastline';
  return lines.filter((line) => line.kind !== 'guy').length > 2
    ? `what three lines or more share beside the hoist ${BY_STIFFNESS}: use two`
    : null;
}

function whyNotOnArray({ build, pickUps }: Extract<Hang, { kind: 'array' }>, lines: readonly LineOffPlumb[]): string | null {
  if (pickUps.some(({ givenLoad }) => givenLoad !== null)) return 'with a line off plumb the build of the array is needed, not given loads';
  if (build === null) return 'state the build of the array: what a pull-back takes follows from it';
  const isOnePullBack = lines.length === 1 && lines[0]?.kind === 'pullBack';
  return isOnePullBack ? null : `an array is held by one pull-back in its side plane: what more lines share ${BY_STIFFNESS}`;
}

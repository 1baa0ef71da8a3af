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

function oneFaults(hang: Hang, { kind, at, pickUpId = null, pretensionKn }: LineOffPlumb, pointer: string): PlanFault[] {
  const faults: PlanFault[] = [];
  if (pickUpId !== null && !hang.pickUps.some(({ id }) => id === pickUpId))
    faults.push(fault(`${pointer}/pickUpId`, 'no-such-pick-up', 'is no pick-up of this hang'));
  else if (pickUpId !== null && hang.kind === 'array')
    faults.push(fault(`${pointer}/pickUpId`, 'no-hook-on-this-kind', 'on an array a line is made fast to a part of it, not at a hook'));
  else if (pickUpId === null && hang.kind === 'truss' && hang.pickUps.length > 1)
    faults.push(fault(`${pointer}/pickUpId`, 'hook-of-line-missing', 'say at the hook of which pick-up it is made fast'));
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
 * Determinate ones are solved: a hang on one hook with one or two lines besides its guys, a straight truss on two hoists with lines at their
 * hooks, and an array on one hole or two with one pull-back. The others are refused with why, and with what to do instead.
 */
function whyNotComputed(hang: Hang, lines: readonly LineOffPlumb[]): string | null {
  const { kind, pickUps, support } = hang;
  const most = kind === 'array' || kind === 'truss' ? 2 : 1;
  if (kind === 'trussFrame')
    return `the sides of a frame pass a pull at one hook on to all others: what each hoist takes of it ${BY_STIFFNESS}. So ${BY_AN_ENGINEER}`;
  if (pickUps.length === 0) return 'a hang that a line holds aside needs its pick-up';
  if (kind === 'truss' && pickUps.length > most)
    return `a truss on ${pickUps.length} hoists bends sideways between them under a pull to the side: what each hoist and line takes ${BY_STIFFNESS}. Hang it on two, or ${BY_AN_ENGINEER}`;
  if (pickUps.length > most) return `what ${pickUps.length} pick-ups and a line off plumb share ${BY_STIFFNESS}. So ${BY_AN_ENGINEER}`;
  if (pickUps.some(({ attachment }) => attachment.kind !== 'direct' && attachment.kind !== 'bridle'))
    return 'a line off plumb draws the hook aside, and every ring and bar of the tiers above it swings to another place: hang the hook on a line straight to a point, or on a bridle of two or three legs';
  if (support === 'ground')
    return 'what the ground carries of a hang that stands on it is not known, so neither is what a line off plumb holds of it: take the lines out, or lift it clear';
  if (kind === 'array') return whyNotOnArray(hang, lines);
  if (lines.some((line) => line.kind === 'pullBack')) return 'a pull-back turns an array: on any other hang, enter it as a breastline';
  const holding = lines.filter((line) => line.kind !== 'guy');
  if (kind === 'truss' && pickUps.length === 2) return whyNotOnTruss(hang, holding);
  return holding.length > 2 ? `what three lines or more share beside the hoist ${BY_STIFFNESS}: use two` : null;
}

/** A truss on two chains can be held in three ways: across at either hook, and along. */
function whyNotOnTruss({ build, pickUps }: Extract<Hang, { kind: 'truss' }>, holding: readonly LineOffPlumb[]): string | null {
  if (pickUps.some(({ givenLoad }) => givenLoad !== null))
    return 'with a line off plumb the build of the truss is needed, not given loads: they do not tell how little a hook may carry while the other carries most';
  if (build === null) return 'state the build of the truss: what a line pulls follows from what each hook carries of it';
  if (holding.length > 3)
    return `a truss on two hoists is held by three lines at most, across at each hook and along: what more share ${BY_STIFFNESS}. Leave some out, or enter what only steadies it as guys with their pretension`;
  const crowded = pickUps.some(({ id }) => holding.filter(({ pickUpId }) => pickUpId === id).length > 2);
  return crowded
    ? `what three lines at one hook of a truss share ${BY_STIFFNESS}: use two there, one across the truss and one along it`
    : null;
}

function whyNotOnArray({ build, pickUps }: Extract<Hang, { kind: 'array' }>, lines: readonly LineOffPlumb[]): string | null {
  if (pickUps.some(({ givenLoad }) => givenLoad !== null)) return 'with a line off plumb the build of the array is needed, not given loads';
  if (build === null) return 'state the build of the array: what a pull-back takes follows from it';
  const isOnePullBack = lines.length === 1 && lines[0]?.kind === 'pullBack';
  return isOnePullBack ? null : `an array is held by one pull-back in its side plane: what more lines share ${BY_STIFFNESS}`;
}

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

/** Determinate ones are solved: a hang on one hook with one or two lines besides its guys, and an array on one hole with one pull-back. */
function whyNotComputed(hang: Hang, lines: readonly LineOffPlumb[]): string | null {
  const [pickUp, ...more] = hang.pickUps;
  const most = hang.kind === 'array' ? 2 : 1;
  if (pickUp === undefined || more.length >= most) return 'lines off plumb are computed on a hang with one pick-up';
  if (hang.pickUps.some(({ attachment }) => attachment.kind !== 'direct'))
    return 'lines off plumb are computed on a line straight to a point';
  if (pickUp.givenLoad !== null && hang.kind === 'array') return 'the build of the array is needed, not a given load';
  if (hang.support === 'ground') return 'lines off plumb are not computed on a hang that stands on the ground';
  if (hang.kind === 'array')
    return lines.length === 1 && lines[0]?.kind === 'pullBack' && hang.build !== null ? null : 'an array is computed with one pull-back';
  if (hang.kind !== 'single' && hang.kind !== 'cablePick') return 'lines off plumb are not computed on a truss';
  if (lines.some(({ kind }) => kind === 'pullBack')) return 'a pull-back is computed on an array';
  return lines.filter(({ kind }) => kind !== 'guy').length > 2 ? 'the split between three lines or more cannot be known' : null;
}

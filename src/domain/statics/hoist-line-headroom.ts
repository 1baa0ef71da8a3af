import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { MissingFact, Reckoning } from './hoist-line-reckoning.ts';

export type HeadroomQuestion = {
  /** Height of the roof point's bearing, or of the apex of a bridle [m]. */
  readonly topM: number;
  /** Parts that hang between there and the top hook [m]. */
  readonly partsAboveM: number;
  /** Null = dead hang: the line has one length and no lift. */
  readonly hoist: { readonly shortestHookToHookM: number | null; readonly liftM: number | null } | null;
  /** Parts between the lower hook and the hang's pick-up [m]. */
  readonly partsBelowM: number;
  /** Pick-up above what the trim is measured to [m]: the frame and the hang down to its lowest corner, say. */
  readonly pickUpAboveTrimM: number;
  /** Highest part of the hang above what the trim is measured to [m]. */
  readonly hangTopAboveTrimM: number;
  readonly trimM: number;
  /** Height of the lowest structure above the hang [m], clearance already taken off; `none` = nothing below `topM`; null = not known. */
  readonly lowestStructureM: number | 'none' | null;
  /** Whether the hoist may go up between the structure; else its whole length stays below. */
  readonly hoistMayPassStructure: boolean;
  /** Height of the pick-up with the hang at its lowest, where the chain has to reach it [m]. */
  readonly lowestPickUpM: number;
};

export type Headroom = {
  /** Null when a length is missing that it needs; `missing` names it. */
  readonly highestTrimM: number | null;
  readonly governedBy: 'hoist' | 'structure' | null;
  /** Room left above the wanted trim; negative = it does not go so high. */
  readonly spareM: number | null;
  readonly hookAtTrimM: number;
  readonly hookToHookM: { readonly atTrimM: number; readonly atLowestM: number };
  /** Chain of one fall that is paid out, in the reading that is worst for each way of mounting; for `hoistLine`. */
  readonly paidOutM: { readonly atTrimM: number; readonly atLowestM: number } | null;
  /** Chain travel from fully up to the lowest pick-up; null for a dead hang or without the shortest hook to hook. */
  readonly liftNeededM: number | null;
  readonly liftSpareM: number | null;
  readonly missing: readonly MissingFact[];
  readonly reckoning: Reckoning;
};
export type HeadroomError = { code: 'not-finite'; what: string } | { code: 'length-negative'; what: string; lengthM: number };

const LENGTHS = ['partsAboveM', 'partsBelowM'] as const;
const HEIGHTS = [
  'topM',
  ...LENGTHS,
  'pickUpAboveTrimM',
  'hangTopAboveTrimM',
  'trimM',
  'lowestStructureM',
  'lowestPickUpM',
] as const satisfies readonly (keyof HeadroomQuestion)[];
const HOIST_LENGTHS = ['shortestHookToHookM', 'liftM'] as const;

/**
 * How high a hang goes on one line, and how much chain it needs to get there from its lowest.
 * @returns heights and lengths [m]; what is missing is named, and what needs it is null
 * @source highest trim = min(top - parts above - shortest hook to hook - parts below - pick-up above trim, the lowest structure
 *         less what of the hang, and of a hoist that may not pass it, is above the trim); lift needed = top hook - shortest hook to hook - lowest hook
 */
export function headroom(question: HeadroomQuestion): Result<Headroom, HeadroomError> {
  const fault = faultIn(question);
  if (fault) return fail(fault);
  const { topM, partsAboveM, partsBelowM, pickUpAboveTrimM, hangTopAboveTrimM, trimM, hoist, lowestStructureM } = question;
  const shortestM = hoist === null ? 0 : hoist.shortestHookToHookM;
  const topHookM = topM - partsAboveM;
  const hookAtTrimM = trimM + pickUpAboveTrimM + partsBelowM;
  const lowestHookM = Math.min(question.lowestPickUpM + partsBelowM, hookAtTrimM);
  const hookToHookM = { atTrimM: topHookM - hookAtTrimM, atLowestM: topHookM - lowestHookM };

  const missing: MissingFact[] = [];
  if (shortestM === null) missing.push({ code: 'shortest-hook-to-hook-missing', of: 'hoist' });
  if (lowestStructureM === null) missing.push({ code: 'lowest-structure-missing', of: 'roof' });
  if (hoist !== null && hoist.liftM === null) missing.push({ code: 'lift-missing', of: 'hoist' });

  const byHoistM = shortestM === null ? null : topHookM - shortestM - partsBelowM - pickUpAboveTrimM;
  const byStructureM = shortestM === null || lowestStructureM === null ? null : trimBelowStructure(lowestStructureM, question, shortestM);
  const highestTrimM = byHoistM === null || byStructureM === null ? null : Math.min(byHoistM, byStructureM);
  const liftNeededM = hoist === null || shortestM === null ? null : Math.max(0, topHookM - shortestM - lowestHookM);
  const liftM = hoist?.liftM ?? null;
  const numbers: Record<string, number> = { topM, partsAboveM, partsBelowM, pickUpAboveTrimM };
  if (shortestM !== null) numbers.shortestHookToHookM = shortestM;
  if (typeof lowestStructureM === 'number') Object.assign(numbers, { lowestStructureM, hangTopAboveTrimM });
  return ok({
    highestTrimM,
    governedBy: highestTrimM === null ? null : highestTrimM === byHoistM ? 'hoist' : 'structure',
    spareM: highestTrimM === null ? null : highestTrimM - trimM,
    hookAtTrimM,
    hookToHookM,
    paidOutM: shortestM === null || hoist === null ? null : paidOut(hookToHookM, shortestM),
    liftNeededM,
    liftSpareM: liftNeededM === null || liftM === null ? null : liftM - liftNeededM,
    missing,
    reckoning: {
      formula: 'min(topM - partsAboveM - shortestHookToHookM - partsBelowM - pickUpAboveTrimM, lowestStructureM - what is above the trim)',
      numbers,
      unit: 'm',
      source: 'sum of lengths along the line',
    },
  });
}

function trimBelowStructure(lowestStructureM: number | 'none', question: HeadroomQuestion, shortestM: number): number {
  if (lowestStructureM === 'none') return Infinity;
  const { hangTopAboveTrimM, pickUpAboveTrimM, partsBelowM, hoistMayPassStructure } = question;
  const hoistTopAboveTrimM = hoistMayPassStructure ? 0 : pickUpAboveTrimM + partsBelowM + shortestM;
  return lowestStructureM - Math.max(hangTopAboveTrimM, pickUpAboveTrimM, hoistTopAboveTrimM);
}

/** At trim less the hoist's own length (what is sure to stand when the body climbs), at the lowest the whole way (what may travel when the hook does). */
function paidOut({ atTrimM, atLowestM }: Headroom['hookToHookM'], shortestM: number): Headroom['paidOutM'] {
  return { atTrimM: Math.max(0, atTrimM - shortestM), atLowestM: Math.max(0, atLowestM) };
}

function faultIn(question: HeadroomQuestion): HeadroomError | null {
  const { hoist } = question;
  const isTooLarge = (value: number | 'none' | null) => typeof value === 'number' && !(Math.abs(value) <= LARGEST_M);
  for (const what of HEIGHTS) if (isTooLarge(question[what])) return { code: 'not-finite', what };
  for (const what of HOIST_LENGTHS) if (hoist !== null && isTooLarge(hoist[what])) return { code: 'not-finite', what };
  for (const what of LENGTHS) if (question[what] < 0) return { code: 'length-negative', what, lengthM: question[what] };
  for (const what of HOIST_LENGTHS) {
    const lengthM = hoist?.[what] ?? 0;
    if (lengthM < 0) return { code: 'length-negative', what, lengthM };
  }
  return null;
}

const LARGEST_M = 1e100; // sums of a few of these are still finite

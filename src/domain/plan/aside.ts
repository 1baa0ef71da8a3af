import type { Reckoned } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { LineOffPlumb, Position } from './plan.ts';
import type { Plumb } from './plumb.ts';

/** Pull of a line on its far end [N]: x, y in space axes towards the hang, down positive. */
export type EndPull = { readonly xN: number; readonly yN: number; readonly downN: number };
/** What the line of each hook and each line off plumb pull, in their order. */
export type Tensions = {
  readonly hoists: readonly EndPull[];
  readonly lines: readonly EndPull[];
  /** Of a truss: the most that it passes on along itself, pull or push [N]. */
  readonly axialN?: number;
};
/** All that hangs at one hook and in its line, and of it what its line weighs; and the least that hangs there in the same case [N]. */
export type Loading = { readonly loadN: number; readonly lineN: number; readonly leastN: number };
/** What the hooks carry in one case. */
export type AsideCase = {
  readonly hooks: readonly Loading[];
  /** On the hang as it rests. */
  readonly factor: number;
  /** What lines that end at no point of the roof weigh, on the hang, moving as it does [N]; in the load of each hook that it may hang at. */
  readonly onHangN: number;
};
export type AsideRefusal = {
  readonly why: Missing;
  /** It cannot hang so, whatever is missing. */
  readonly sure: boolean;
  /** Which hook is to blame, where one is. */
  readonly hook?: number | null;
};
export type Aside = {
  readonly under: (loading: AsideCase) => Tensions | AsideRefusal;
  /** Of the line of each hook: the angle between where it comes to rest and where it is drawn. */
  readonly plumbs: readonly Plumb[];
  /** How it hangs at rest once its line is lost, where that is known. */
  readonly withoutLine?: readonly Reckoned[];
  /** For the reader, of one hook. */
  readonly notes: readonly { readonly hook: number; readonly why: Missing }[];
};
export type EndedLine = LineOffPlumb & { readonly end: Position };

export const isRefusal = <T extends object>(found: T | AsideRefusal): found is AsideRefusal => 'sure' in found;

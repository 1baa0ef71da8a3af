import type { Missing } from './missing.ts';
import type { LineOffPlumb, Position } from './plan.ts';
import type { Plumb } from './plumb.ts';

/** Pull of a line on its far end [N]: x, y in space axes towards the hang, down positive. */
export type EndPull = { readonly xN: number; readonly yN: number; readonly downN: number };
/** What the line of the hook and each line off plumb pull, in their order. */
export type Tensions = { readonly hoist: EndPull; readonly lines: readonly EndPull[] };
/** All that hangs at the hook and in its line, and of it the hang's own [N]. */
export type Loading = { readonly loadN: number; readonly hangN: number };
export type AsideRefusal = { readonly why: Missing; /** It cannot hang so, whatever is missing. */ readonly sure: boolean };
export type Aside = {
  readonly under: (loading: Loading) => Tensions | AsideRefusal;
  /** Of the line of the hook: the angle between where it comes to rest and where it is drawn. */
  readonly plumb: Plumb;
};
export type EndedLine = LineOffPlumb & { readonly end: Position };

export const isRefusal = <T extends object>(found: T | AsideRefusal): found is AsideRefusal => 'sure' in found;

import type { Column } from '../../parts/typed-rows.ts';
import { words } from '../../words.ts';

/** An outline in plan, corner by corner around it. */
export type Corner = { xM: number; yM: number };
export const CORNERS: readonly Column<keyof Corner>[] = [
  { name: 'xM', label: words.area.x, of: 'length' },
  { name: 'yM', label: words.area.y, of: 'length' },
];

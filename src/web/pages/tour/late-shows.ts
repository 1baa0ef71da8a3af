import type { BoardRow } from './board-rows.ts';

const DAY_MS = 86_400_000;
const NEAR_DAYS = 14;
const LONG_DAYS = 7;

/** Common practice, no source: a fortnight is what a change of the plan still takes, and a week is long to wait for an answer. */
export const LATE = { nearDays: NEAR_DAYS, longDays: LONG_DAYS } as const;
export const BLOCKERS = ['suspended', 'tour', 'venue'] as const;
export type LateShow = { readonly row: BoardRow; readonly daysLeft: number; readonly waitedDays: number | null };

const SETTLED = new Set(['agreed', 'agreed_with_conditions', 'struck', 'withdrawn']);

/** Shows to come that are not settled and near, or whose turn has waited long, by who has to act. A suspended one is always late. */
export function lateShows(rows: readonly BoardRow[], nowMs: number): Record<(typeof BLOCKERS)[number], LateShow[]> {
  const late: Record<(typeof BLOCKERS)[number], LateShow[]> = { suspended: [], tour: [], venue: [] };
  for (const row of rows) {
    const { proposal } = row;
    if (Date.parse(row.to) < nowMs || proposal?.state === 'struck') continue;
    const daysLeft = Math.floor((Date.parse(row.from) - nowMs) / DAY_MS);
    const waitedDays = proposal === null ? null : Math.floor((nowMs - Date.parse(proposal.since)) / DAY_MS);
    const one = { row, daysLeft, waitedDays };
    if (proposal?.suspended) late.suspended.push(one);
    else if (proposal !== null && SETTLED.has(proposal.state) && !proposal.stale) continue;
    else if (daysLeft < NEAR_DAYS || (waitedDays ?? 0) >= LONG_DAYS) late[proposal?.whoseTurn ?? 'tour'].push(one);
  }
  return late;
}

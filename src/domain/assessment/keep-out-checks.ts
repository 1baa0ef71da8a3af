import type { Polygon } from '../foundation/polygon.ts';
import { polygonsOverlap } from '../foundation/polygon.ts';
import { boxCorners } from '../plan/hang-box.ts';
import type { Hang } from '../plan/plan.ts';
import { spanOf, spansOverlap } from '../roof/calendar.ts';
import type { KeepOut, PublishedRoof } from '../roof/structure.ts';
import type { Check } from './assessment.ts';
import { checkOf, numbersText } from './check.ts';
import type { Interval } from './load-units.ts';

/** Nearer than this in height counts as touching, as it does in plan. */
const TOUCH_M = 1e-9;

/**
 * A hang's box at trim against what must be kept free while it is up: one check for each that it meets, and one that says of how many it
 * is clear. Touching counts as meeting. Where the space keeps anything free and the hang has no box, nobody can tell.
 */
export function keepOutChecks(hang: Hang, during: Interval, roof: PublishedRoof): Check[] {
  const active = roof.keepOuts.filter((keepOut) => spansOverlap(spanOf(keepOut, roof.dayStarts), during));
  if (active.length === 0) return [];
  const about = { hangId: hang.id, during };
  const hard = active.some((keepOut) => keepOut.hard);
  const { box } = hang;
  if (box === null) {
    const reason = { code: 'box-not-stated', text: 'the space keeps volumes free and the box of the hang is not stated' };
    return [checkOf('keepOut', [hang.id], { ...about, hard, verdict: 'unknown', reason })];
  }
  const corners = boxCorners(box);
  const met = active.filter((keepOut) => meets(corners, box, keepOut));
  if (met.length === 0) {
    const numbers = numbersText({ volumes: active.length, bottomZM: box.bottomZM, topZM: box.topZM });
    const reckoning = [
      { formula: 'box apart from each volume in plan or in height', numbers, result: 'clear of all', source: 'record of the roof' },
    ];
    return [checkOf('keepOut', [hang.id], { ...about, hard, verdict: 'fits', reckoning })];
  }
  return met.map((keepOut) =>
    checkOf('keepOut', [hang.id, keepOut.id], {
      ...about,
      limitId: keepOut.id,
      hard: keepOut.hard,
      verdict: 'over',
      reason: { code: `meets-${keepOut.reason}`, text: 'the box of the hang meets a volume that must be kept free' },
      reckoning: [
        {
          formula: 'box and volume overlap in plan and in height',
          numbers: numbersText({ boxBottomZM: box.bottomZM, boxTopZM: box.topZM, fromZM: keepOut.fromZM, toZM: keepOut.toZM }),
          result: 'they meet',
          source: 'record of the roof',
        },
      ],
    }),
  );
}

function meets(corners: Polygon, box: NonNullable<Hang['box']>, { area, fromZM, toZM }: KeepOut): boolean {
  return box.bottomZM <= toZM + TOUCH_M && box.topZM >= fromZM - TOUCH_M && polygonsOverlap(corners, area);
}

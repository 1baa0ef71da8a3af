import { createHash } from 'node:crypto';
import { assess } from '../src/domain/assessment/assess.ts';
import { checkPlan } from '../src/domain/plan/check-plan.ts';
import { offeredPolicies } from '../src/domain/roof/offered-policies.ts';
import { publishRoof } from '../src/domain/roof/publish.ts';
import type { Plan } from '../src/domain/plan/plan.ts';
import { deadHang, groupOf, planOf, pointAt } from '../tests/support/scene.ts';

export type Row = { name: string; medianUs: number; goalUs: number | null };

const SHOW = { from: '2026-07-01T08:00:00.000Z', to: '2026-07-02T04:00:00.000Z' };
const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

/** Domain code alone, on a roof of 2,000 points in 40 groups. */
export function run(): Row[] {
  const points = Array.from({ length: 2000 }, (_, n) => pointAt(`P${n}`, (n % 50) * 1.5, Math.floor(n / 50) * 1.5, 1000));
  const limits = Array.from({ length: 40 }, (_, row) => groupOf(`Row ${row}`, points.slice(row * 50, row * 50 + 50), 8000));
  const { policy } = offeredPolicies()[0]!;
  const roof = publishRoof(
    {
      exposure: 'indoor',
      timeZone: 'Etc/UTC',
      nodes: [],
      members: [],
      points,
      limits,
      keepOuts: [],
      standingLoads: [],
      policy: { policy, signedBy: 'bench', signerRole: 'bench', signedAt: '2026-01-01T00:00:00.000Z' },
    },
    (day) => `${day}T00:00:00.000Z`,
  );
  if (!roof.ok) throw new Error(JSON.stringify(roof.error));
  const once = (plan: Plan) => {
    const checked = checkPlan(plan, SHOW);
    if (!checked.ok) throw new Error(JSON.stringify(checked.error));
    assess({
      roof: roof.value,
      revisionHash: sha256('roof'),
      policyHash: sha256('policy'),
      plan: checked.value,
      planHash: sha256('plan'),
      show: SHOW,
      neighbours: [],
      asOf: '2026-06-01T12:00:00.000Z',
      sha256,
    });
  };
  return [50, 120].map((hangs) => {
    const plan = planOf(...Array.from({ length: hangs }, (_, n) => deadHang(points[n * 16]!, 400)));
    return {
      name: `assessment of ${hangs} hangs on 2,000 points and 40 groups, from nothing`,
      medianUs: medianUs(() => once(plan)),
      goalUs: hangs === 120 ? 50_000 : null,
    };
  });
}

function medianUs(work: () => void): number {
  for (let n = 0; n < 5; n += 1) work();
  const times = Array.from({ length: 21 }, () => {
    const began = performance.now();
    work();
    return (performance.now() - began) * 1000;
  });
  return times.sort((a, b) => a - b)[10] ?? Number.NaN;
}

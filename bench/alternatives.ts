import { alternativesFor } from '../src/domain/alternatives/one-hang.ts';
import type { Bounds } from '../src/domain/alternatives/question.ts';
import { alternativesForPlan, type PlanQuestion } from '../src/domain/alternatives/whole-plan.ts';
import { checkPlan } from '../src/domain/plan/check-plan.ts';
import type { Hang } from '../src/domain/plan/plan.ts';
import { offeredPolicies } from '../src/domain/roof/offered-policies.ts';
import { publishRoof } from '../src/domain/roof/publish.ts';
import { deadHang, groupOf, planOf, pointAt } from '../tests/support/scene.ts';

type Row = { name: string; medianUs: number; goalUs: number | null };

const SHOW = { from: '2026-07-01T08:00:00.000Z', to: '2026-07-02T04:00:00.000Z' };
const BOUNDS: Bounds = { withinM: 12, shift: { xM: 0, yM: 0 }, mostLegs: 3, legAngleDeg: 40, most: 5 };
const BUDGET = { mostAssessed: 20_000, isOver: () => false };

/** Domain code alone, on 2,000 points 1.5 m apart in 40 groups; dead hangs of 1,500 kg on points for 1,000 kg. */
export function run(): Row[] {
  const points = Array.from({ length: 2000 }, (_, n) => ({
    ...pointAt(`P${n}`, (n % 50) * 1.5, Math.floor(n / 50) * 1.5, 1000, `p${String(n).padStart(4, '0')}`),
    maxAngleDeg: 50,
  }));
  const heavy = Array.from({ length: 40 }, (_, n): Hang => {
    const point = points[n * 49 + 5]!;
    const hang = { ...deadHang(point, 1500), id: `hang-${String(n).padStart(2, '0')}` };
    return { ...hang, pickUps: [{ ...hang.pickUps[0]!, position: { xM: point.xM + 0.3, yM: point.yM + 0.2, zM: 4 } }] };
  });
  const roof = publishRoof(
    {
      exposure: 'indoor',
      timeZone: 'Etc/UTC',
      nodes: [],
      members: [],
      points,
      limits: Array.from({ length: 40 }, (_, row) => groupOf(`Row ${row}`, points.slice(row * 50, row * 50 + 50), 8000)),
      keepOuts: [],
      standingLoads: [],
      policy: { policy: offeredPolicies()[0]!.policy, signedBy: 'bench', signerRole: 'bench', signedAt: '2026-01-01T00:00:00.000Z' },
    },
    (day) => `${day}T00:00:00.000Z`,
  );
  const plan = checkPlan(planOf(...heavy), SHOW);
  if (!roof.ok || !plan.ok) throw new Error('the bench has a roof and a plan');
  const hashes = { revisionHash: '', planHash: '', policyHash: '' };
  const question: PlanQuestion = {
    ...hashes,
    roof: roof.value,
    plan: plan.value,
    show: SHOW,
    neighbours: [],
    asOf: SHOW.from,
    bounds: BOUNDS,
  };
  const one = timed(() => alternativesFor({ ...question, hangId: 'hang-20' }, BUDGET));
  const whole = timed(() => alternativesForPlan(question, BUDGET));
  const { considered, assessed } = one.value;
  return [
    { name: `one hang, ${considered} ways within 12 m, ${assessed} assessed`, medianUs: one.us, goalUs: 1_000_000 },
    { name: `40 hangs, ${whole.value.changes.length} placed, ${whole.value.assessed} assessed`, medianUs: whole.us, goalUs: 20_000_000 },
  ];
}

/** Once, cold, in processor time: on a machine that others use too, the clock would measure them. */
function timed<T>(work: () => T): { us: number; value: T } {
  const from = process.cpuUsage();
  const value = work();
  const { user, system } = process.cpuUsage(from);
  return { us: user + system, value };
}

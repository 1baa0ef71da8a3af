import type { Check, NeighbourLoad } from '../assessment/assessment.ts';
import { outcomeOf } from '../assessment/assess.ts';
import type { Interval } from '../assessment/load-units.ts';
import { AssessmentMemory } from '../assessment/memory.ts';
import { checkPlan } from '../plan/check-plan.ts';
import type { Plan } from '../plan/plan.ts';
import type { Instant, PublishedRoof } from '../roof/structure.ts';
import { bareHang } from './bare-hang.ts';

export type CapacityQuestion = {
  readonly roof: PublishedRoof;
  /** [from, to). */
  readonly during: Interval;
  /** What else hangs then. What is only asked for is not counted. */
  readonly loads: readonly NeighbourLoad[];
  readonly asOf: Instant;
  /** Loaded all at once, each with the same. */
  readonly pointIds: readonly string[];
};

export type CapacityAnswer = {
  readonly pointIds: string[];
  /** On each of the points, all that hangs from it included; null = nobody can say, and `reasons` tell why. */
  readonly maxKg: number | null;
  /** Hard checks that any more would put over; of a roof that is over already, those. */
  readonly heldBy: string[];
  readonly reasons: { checkId: string; code: string; text: string }[];
};

/** The assessor takes demand and capacity as equal within 1e-9; nearer than a few of those no load can be told from the next. */
const SAME = 4e-9;
/** Less than a grain of sand: a load of which is none. */
const NOTHING_KG = 1e-6;
const MOST_TRIES = 200;

/**
 * The largest load that may hang from each of some points at once, dead-hung and straight down, with every hard check of points, limits
 * and members kept among all that is agreed. Each try is a plan that the assessor assesses, and so is the answer.
 * By the adverse rule every demand is the largest of some sums of the load, so it is convex and never falls: where one is a straight line
 * the chord from a load that fits to one that does not meets its limit exactly, and where it is not, halving closes in.
 */
export function whatCanHang(question: CapacityQuestion): CapacityAnswer {
  const pointIds = [...new Set(question.pointIds)].sort();
  const answer = (maxKg: number | null, heldBy: readonly Check[]): CapacityAnswer => ({
    pointIds,
    maxKg,
    heldBy: heldBy.map(({ id }) => id),
    reasons: maxKg === null ? heldBy.map(({ id, reason }) => ({ checkId: id, ...(reason ?? NOT_SAID) })) : [],
  });
  const memory = new AssessmentMemory();
  const at = (kg: number): Try => triedAt(kg, question, pointIds, memory);
  let low = at(0);
  if (low.unknown.length > 0) return answer(null, low.unknown);
  if (low.over.length > 0) return answer(0, low.over);
  let high = at(2 * smallestRatingKg(low) + 1);
  for (let tries = 0; tries < MOST_TRIES && high.kg - low.kg > SAME * high.kg + NOTHING_KG; tries += 1) {
    if (high.unknown.length > 0) return answer(null, high.unknown);
    if (high.over.length === 0) throw new Error('more than a point is rated for is over');
    const [exact, beyond] = [chordKg(low, high, 1), chordKg(low, high, 1 + SAME)];
    // Every third time halving, so that a demand that jumps cannot hold the search up.
    const halve = tries % 3 === 2 || !(exact > low.kg && beyond < high.kg);
    const tried = at(halve ? (low.kg + high.kg) / 2 : exact);
    if (!isKept(tried)) {
      high = tried;
      continue;
    }
    low = tried;
    if (halve) continue;
    const more = at(beyond);
    if (!isKept(more)) {
      high = more;
      break; // nothing lies between that could be told apart
    }
    low = more;
  }
  return high.unknown.length > 0 ? answer(null, high.unknown) : answer(low.kg, high.over);
}

const isKept = ({ over, unknown }: Try): boolean => over.length === 0 && unknown.length === 0;

const NOT_SAID = { code: 'not-known', text: 'not known' };

type Try = {
  readonly kg: number;
  readonly checks: ReadonlyMap<string, Check>;
  readonly over: readonly Check[];
  readonly unknown: readonly Check[];
};

function triedAt(kg: number, { roof, during, loads, asOf }: CapacityQuestion, pointIds: readonly string[], memory: AssessmentMemory): Try {
  const plan: Plan = { format: 1, equipment: NO_EQUIPMENT, hangs: pointIds.map((pointId) => bareHang(pointId, kg, roof)) };
  const checked = checkPlan(plan, during);
  if (!checked.ok) throw new Error(`a hang of ${kg} kg is a plan: ${checked.error.code}`);
  const input = { roof, revisionHash: '', planHash: '', policyHash: '', plan: checked.value, show: during, asOf };
  const { outcome } = outcomeOf({ ...input, neighbours: loads.filter(({ status }) => status === 'agreed') }, memory);
  // How a hang is made is not asked here: what is its own has its id.
  const checks = outcome.checks.filter(({ hard, hangId }) => hard && hangId === null);
  return {
    kg,
    checks: new Map(checks.map((check) => [check.id, check])),
    over: checks.filter(({ verdict }) => verdict === 'over'),
    unknown: checks.filter(({ verdict }) => verdict === 'unknown'),
  };
}

const NO_EQUIPMENT: Plan['equipment'] = {};

function smallestRatingKg({ checks }: Try): number {
  const ratings = [...checks.values()].flatMap(({ kind, capacity }) => (kind === 'pointDown' && capacity !== null ? [capacity] : []));
  return ratings.reduce((least, rating) => Math.min(least, rating), Infinity);
}

/** Where the first of the lines from what fits to what does not meets `share` of its capacity. */
function chordKg(low: Try, high: Try, share: number): number {
  return high.over.reduce((least, { id, demand, capacity }) => {
    const before = low.checks.get(id)?.demand ?? null;
    if (demand === null || capacity === null || before === null || demand <= before) return least;
    return Math.min(least, low.kg + ((share * capacity - before) * (high.kg - low.kg)) / (demand - before));
  }, high.kg);
}

import { barLengthM, legsOf } from './attachment-places.ts';
import type { PlanFault } from './plan-fault.ts';
import type { Attachment, OnTier, Tier } from './plan.ts';

type Tiers = Extract<Attachment, { kind: 'tiers' }>;

const MOST_TIERS = 20;
/** What a sum of lengths along a bar may miss its end by. */
const ROUNDING_M = 1e-9;

const fault = (pointer: string, code: string, message: string): PlanFault => ({ pointer, code, message });

/** What cannot be in a tree of two-leg bridles and spreaders, whatever hangs on it. */
export function tiersFaults({ foot, tiers }: Tiers, at: string): PlanFault[] {
  const faults = placeFaults(foot, tiers, `${at}/foot`);
  if (tiers.length > MOST_TIERS) faults.push(fault(`${at}/tiers`, 'too-many', `at most ${MOST_TIERS} tiers`));
  const ids = tiers.map(({ id }) => id);
  const points: string[] = [];
  for (const [index, tier] of tiers.entries()) {
    const pointer = `${at}/tiers/${index}`;
    if (ids.indexOf(tier.id) < index) faults.push(fault(`${pointer}/id`, 'id-twice', 'two tiers have this id'));
    const legs = legsOf(tier);
    const named = tier.kind === 'ring' ? 'legs' : 'lines';
    if (legs.length !== 2)
      faults.push(fault(`${pointer}/${named}`, legs.length < 2 ? 'too-few-legs' : 'indeterminate', 'a tier hangs on exactly two'));
    if (tier.kind === 'spreader') {
      for (const [line, { atM }] of tier.lines.entries())
        if (isOff(atM, tier))
          faults.push(fault(`${pointer}/lines/${line}/atM`, 'off-the-spreader', `the bar is ${barLengthM(tier)} m long`));
    }
    for (const [leg, { to }] of legs.entries()) {
      const end = `${pointer}/${named}/${leg}/to`;
      if (!('pointId' in to)) faults.push(...placeFaults(to, tiers, end));
      else if (points.includes(to.pointId))
        faults.push(fault(`${end}/pointId`, 'point-twice', 'each leg to the roof needs a point of its own'));
      else points.push(to.pointId);
    }
    if (tier.id !== foot.tierId && !carries(tier, tiers))
      faults.push(fault(pointer, 'tier-carries-nothing', 'neither the hook nor another tier hangs from it'));
  }
  if (goRound(tiers)) faults.push(fault(`${at}/tiers`, 'tiers-go-round', 'tiers hang from each other'));
  return faults;
}

const carries = ({ id }: Tier, tiers: readonly Tier[]): boolean => tiers.some((other) => hangsFrom(other, id));
const hangsFrom = (tier: Tier, id: string): boolean => legsOf(tier).some(({ to }) => 'tierId' in to && to.tierId === id);

function placeFaults(on: OnTier, tiers: readonly Tier[], pointer: string): PlanFault[] {
  const tier = tiers.find(({ id }) => id === on.tierId);
  if (tier === undefined) return [fault(`${pointer}/tierId`, 'no-such-tier', 'is no tier of this attachment')];
  if (tier.kind === 'ring')
    return on.atM === null ? [] : [fault(`${pointer}/atM`, 'no-place-on-a-ring', 'a ring has one place: leave it null')];
  if (on.atM === null) return [fault(`${pointer}/atM`, 'place-on-spreader-missing', 'say where on the bar')];
  return isOff(on.atM, tier) ? [fault(`${pointer}/atM`, 'off-the-spreader', `the bar is ${barLengthM(tier)} m long`)] : [];
}

const isOff = (atM: number, bar: Extract<Tier, { kind: 'spreader' }>): boolean => atM < 0 || atM > barLengthM(bar) + ROUNDING_M;

/** Takes away, again and again, what nothing hangs from; what is left hangs from itself. */
function goRound(tiers: readonly Tier[]): boolean {
  let left = [...tiers];
  for (;;) {
    const after = left.filter(({ id }) => left.some((other) => hangsFrom(other, id)));
    if (after.length === left.length) return left.length > 0;
    left = after;
  }
}

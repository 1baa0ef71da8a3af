import type { StagedHang } from './staged-hang.ts';
import { StageContact } from './stage-contact.ts';
import type { StageTarget } from './stage-targets.ts';

/** Which loads hang, and which hoists are high, as bits. */
export type Combination = { readonly set: number; readonly levels: number };
type WorstCombination = Combination & { readonly value: number };

/**
 * Of every combination of loads and of high and low hoists, the worst for each target. Each next set differs from the last by one load
 * (Gray's code), so that reactions and forces are carried on; everything is laid out flat, as it runs some 4,000 times a truss.
 * @param toleranceM  0 = hoists at their levels alone
 * @param otherwise  values of a combination that is too near to a change of contact to be told from reactions; null = it does not hang
 */
export function worstCombinations(
  { always, loads, influence }: StagedHang,
  toleranceM: number,
  targets: readonly StageTarget[],
  otherwise: (combination: Combination) => ((target: StageTarget) => number) | null,
): (WorstCombination | null)[] {
  const hoists = always.reactionsN.length;
  const contact = new StageContact(influence);
  const columns = loads.map(({ reactionsN }) => Float64Array.from(reactionsN));
  const changes = loads.map((_, load) => Float64Array.from(targets, (target) => target.loads[load] ?? 0));
  const raised = Float64Array.from(targets.flatMap((target) => target.raised));
  const reactionOf = Int32Array.from(targets, ({ hoist }) => hoist ?? -1);
  const worst = new Float64Array(targets.length).fill(-Infinity);
  const worstSet = new Int32Array(targets.length);
  const worstLevels = new Int32Array(targets.length).fill(-1);
  const patterns = toleranceM > 0 ? (1 << hoists) - 1 : 1; // all high strains nothing, as all low
  for (let levels = 0; levels < patterns; levels++) {
    const raisedM = highOf(levels, hoists).map((sign) => sign * toleranceM);
    const tautN = Float64Array.from(always.reactionsN, (alwaysN, hoist) =>
      raisedM.reduce((sum, byM, other) => sum + byM * (influence.perMetre[hoist]?.[other] ?? 0), alwaysN),
    );
    const values = Float64Array.from(targets, (target) =>
      raisedM.reduce((sum, byM, hoist) => sum + byM * (target.raised[hoist] ?? 0), target.always),
    );
    let set = 0;
    for (let step = 0; step < 1 << loads.length; step++) {
      if (step > 0) {
        let turned = 0;
        while (((step >> turned) & 1) === 0) turned++;
        set ^= 1 << turned;
        const sign = (set >> turned) & 1 ? 1 : -1;
        addTo(tautN, columns[turned], sign);
        addTo(values, changes[turned], sign);
      }
      const isClear = contact.solve(tautN);
      const instead = isClear ? null : otherwise({ set, levels });
      if (!isClear && instead === null) continue;
      const { slack, riseM, reactionsN } = contact;
      for (let index = 0; index < values.length; index++) {
        const hoist = reactionOf[index] ?? -1;
        let value = hoist < 0 ? (values[index] ?? 0) : (reactionsN[hoist] ?? 0);
        if (instead !== null) value = valueFor(targets[index], instead);
        else if (hoist < 0)
          for (let which = 0; which < slack.length; which++) {
            const one = slack[which] ?? 0;
            value += (riseM[one] ?? 0) * (raised[index * hoists + one] ?? 0);
          }
        if (value > (worst[index] ?? 0)) {
          worst[index] = value;
          worstSet[index] = set;
          worstLevels[index] = levels;
        }
      }
    }
  }
  return targets.map((_, index) => {
    const levels = worstLevels[index] ?? -1;
    return levels < 0 ? null : { set: worstSet[index] ?? 0, levels, value: worst[index] ?? 0 };
  });
}

export const highOf = (levels: number, hoists: number): (1 | -1)[] =>
  Array.from({ length: hoists }, (_, hoist): 1 | -1 => (((levels >> hoist) & 1) === 1 ? 1 : -1));

const valueFor = (target: StageTarget | undefined, valueOf: (target: StageTarget) => number): number =>
  target === undefined ? -Infinity : valueOf(target);

function addTo(values: Float64Array, change: Float64Array | undefined, sign: 1 | -1): void {
  if (change === undefined) return;
  for (let index = 0; index < values.length; index++) values[index] = (values[index] ?? 0) + sign * (change[index] ?? 0);
}

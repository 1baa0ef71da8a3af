import { isInstant } from './calendar.ts';
import type { DraftFault } from './draft-faults.ts';
import { FaultList } from './draft-faults.ts';
import type { PartFactors, Policy, SignedPolicy } from './structure.ts';

/**
 * Are the values of a policy possible? Whether they are wise is for the person who signs: no value is changed or filled in here.
 * @param under  JSON pointer to the policy, put before each fault's own
 */
export function checkPolicy(policy: Policy, under = ''): DraftFault[] {
  const list = new FaultList(under);
  if (policy.setId.trim() === '') list.at('setId').add('id-missing', 'must name the set that the values were taken from');
  list.at('closeFrom').numberAbove(policy.closeFrom, 0, 1, 'of the capacity');
  // Below 1 a lift would weigh less than the load at rest; beyond 10 is a slip of the pen.
  list.at('dynamicFactor', 'atLeast').number(policy.dynamicFactor.atLeast, 1, 10, '(a factor)');
  list.at('dynamicFactor', 'speedKnownUpToMPerMin').number(policy.dynamicFactor.speedKnownUpToMPerMin, 0, 1000, 'm/min');
  list.at('limiterFactor').number(policy.limiterFactor, 1, 10, '(a factor)');
  list.at('levelRestMm').number(policy.levelRestMm, 0, 1000, 'mm');
  list.at('levelMovingMm').number(policy.levelMovingMm, 0, 1000, 'mm');
  if (policy.levelMovingMm < policy.levelRestMm) {
    list.at('levelMovingMm').add('thresholds-reversed', 'must not be less than the tolerance at rest', { levelRestMm: policy.levelRestMm });
  }
  list.at('plumbDeg').number(policy.plumbDeg, 0, 45, 'deg');
  list.at('legCloseDeg').number(policy.legCloseDeg, 0, 85, 'deg'); // flatter legs are refused by the statics
  list.at('legOverDeg').number(policy.legOverDeg, 0, 85, 'deg');
  if (policy.legOverDeg < policy.legCloseDeg) {
    list.at('legOverDeg').add('thresholds-reversed', 'must not be less than the angle that is close', { legCloseDeg: policy.legCloseDeg });
  }
  list.at('chokeFactor').numberAbove(policy.chokeFactor, 0, 1, '(a factor)');
  for (const basis of ['weighed', 'documented', 'estimated', 'cablesAtLeast'] as const) {
    list.at('contingency', basis).number(policy.contingency[basis], 0, 10, '(a share)');
  }
  checkPartFactors(policy.partsOverPeople, list.at('partsOverPeople'));
  checkPartFactors(policy.partsNotOverPeople, list.at('partsNotOverPeople'));
  if (policy.engineerAboveKg !== null) list.at('engineerAboveKg').number(policy.engineerAboveKg, 0, 1e7, 'kg');
  return list.faults;
}

function checkPartFactors(factors: PartFactors, list: FaultList): void {
  list.at('wllShare').numberAbove(factors.wllShare, 0, 1, '(a share)');
  for (const part of ['wireRope', 'shackle', 'textile', 'chain'] as const) list.at(part).number(factors[part], 1, 100, '(a divisor)');
}

/** The values, and that a named person stands behind them. */
export function checkSignedPolicy(signed: SignedPolicy, under = ''): DraftFault[] {
  const list = new FaultList(under);
  list.faults.push(...checkPolicy(signed.policy, `${under}/policy`));
  if (signed.signedBy.trim() === '') list.at('signedBy').add('policy-not-signed', 'must name the person who signed');
  if (signed.signerRole.trim() === '') list.at('signerRole').add('policy-not-signed', 'must name the role of the person who signed');
  if (!isInstant(signed.signedAt)) list.at('signedAt').add('instant-not-valid', 'must be an instant in UTC', { instant: signed.signedAt });
  return list.faults;
}

import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { BeamError, BeamReaction, SolvedBeam } from './beam.ts';
import { solveLaidBeam, suspendedBeam } from './beam.ts';
import type { ForceLine } from './beam-extremes.ts';
import type { BeamLayout } from './beam-layout.ts';
import type { BeamLine } from './beam-line.ts';
import type { HangInContact, HangInfluence } from './influence-contact.ts';
import { influenceContact, withoutHoist } from './influence-contact.ts';
import type { LevelledHang } from './level-envelope.ts';

/** A beam at some levels, without its shape. */
export type HungBeam = ForceLine & { readonly reactions: readonly BeamReaction[] };
type LevelledBeam = Omit<LevelledHang<HungBeam, BeamError>, 'atRest'> & {
  readonly atRest: SolvedBeam;
  /** As it hangs when one hoist is lost; null where rounding could decide, or it tips. */
  readonly without: (lost: number) => HungBeam | null;
};

/**
 * A laid-out beam on hoists, made ready for its level envelope. The layout's supports must all be tension-only hoists.
 * Layouts are in the order along the beam, everything here is in the order of the input.
 */
export function levelledBeam(layout: BeamLayout): Result<LevelledBeam, BeamError> {
  const { supports, levelsM } = layout;
  if (supports.length > 2 && !layout.eiIsKnown) return fail({ code: 'stiffness-needed', what: 'ei' });
  const atRest = solveLaidBeam(layout, levelsM);
  if (!atRest.ok) return atRest;
  const beam = suspendedBeam(layout);
  const taut = beam.answer(
    supports.map(() => true),
    levelsM,
    'loaded',
  );
  if (!taut.ok) return taut;
  const raised = raisedHoists(layout, beam);
  if (!raised.ok) return raised;
  const { units } = raised.value;
  const influence = beamInfluence(layout, raised.value, taut.value.reactionsN);
  const caseOf = ({ taut: some, reactionsN, raisedM }: HangInContact): HungBeam => ({
    layout,
    line: raisedLine(taut.value.line, units, raisedM),
    reactions: atRest.value.reactions.map(({ id, atM, momentStepNm }, hoist) => ({
      id,
      atM,
      forceN: reactionsN[hoist] ?? 0,
      slack: !some[hoist],
      momentStepNm,
    })),
  });
  return ok({
    atRest: atRest.value,
    influence,
    contactAt: influenceContact(influence),
    caseOf,
    withContact: (raisedM) =>
      solveLaidBeam(
        layout,
        levelsM.map((levelM, index) => levelM + (raisedM[supports[index]?.inputIndex ?? 0] ?? 0)),
      ),
    without: (lost) => {
      const rest = withoutHoist(influence, lost);
      const found = rest === null ? null : influenceContact(rest)(rest.levers.map(() => 0));
      if (found === null) return null;
      const raisedM = found.raisedM.slice();
      raisedM.splice(lost, 0, 0);
      const row = influence.perMetre[lost] ?? [];
      // Until the lost one carries nothing.
      const pulledN = row.reduce((sum, change, hoist) => sum + change * (raisedM[hoist] ?? 0), influence.tautReactionsN[lost] ?? 0);
      raisedM[lost] = -pulledN / (row[lost] ?? 1);
      const hung = caseOf({ taut: found.taut.toSpliced(lost, 0, false), reactionsN: found.reactionsN.toSpliced(lost, 0, 0), raisedM });
      return { ...hung, reactions: hung.reactions.filter((_, hoist) => hoist !== lost) };
    },
  });
}

/** The unloaded beam with each hoist raised by a metre in turn, all of them taken as taut. */
export type RaisedHoists = {
  /** Where each hoist of the input is among the supports of the layout. */
  readonly place: readonly number[];
  readonly units: readonly { readonly line: BeamLine; readonly reactionsN: readonly number[] }[];
};

export function raisedHoists(layout: BeamLayout, beam = suspendedBeam(layout)): Result<RaisedHoists, BeamError> {
  const { supports } = layout;
  const place = supports.map(() => 0);
  for (const [index, { inputIndex }] of supports.entries()) place[inputIndex] = index;
  const units: RaisedHoists['units'][number][] = [];
  for (const hoist of place) {
    const unit = beam.answer(
      supports.map(() => true),
      supports.map((_, index) => (index === hoist ? 1 : 0)),
      'unloaded',
    );
    if (!unit.ok) return unit;
    units.push(unit.value);
  }
  return ok({ place, units });
}

/** @param tautReactionsN  in the order of the layout */
export function beamInfluence(
  { supports, nodesM, input, grossN }: BeamLayout,
  { place, units }: RaisedHoists,
  tautReactionsN: readonly number[],
): HangInfluence {
  return {
    tautReactionsN: place.map((index) => tautReactionsN[index] ?? 0),
    perMetre: place.map((index) => units.map(({ reactionsN }) => reactionsN[index] ?? 0)),
    levers: place.map((index) => [1, (nodesM[supports[index]?.node ?? 0] ?? 0) / input.lengthM]),
    grossN,
    holds: (some) => some.reduce((count, isTaut) => count + (isTaut ? 1 : 0), 0) >= 2,
  };
}

function raisedLine(base: ForceLine['line'], units: readonly { line: ForceLine['line'] }[], raisedM: readonly number[]): ForceLine['line'] {
  const line = {
    shearLeftN: base.shearLeftN.slice(),
    shearRightN: base.shearRightN.slice(),
    momentLeftNm: base.momentLeftNm.slice(),
    momentRightNm: base.momentRightNm.slice(),
  };
  for (const [hoist, { line: unit }] of units.entries()) {
    const factor = raisedM[hoist] ?? 0;
    if (factor === 0) continue;
    addTo(line.shearLeftN, unit.shearLeftN, factor);
    addTo(line.shearRightN, unit.shearRightN, factor);
    addTo(line.momentLeftNm, unit.momentLeftNm, factor);
    addTo(line.momentRightNm, unit.momentRightNm, factor);
  }
  return line;
}

function addTo(values: number[], unit: readonly number[], factor: number): void {
  for (let node = 0; node < values.length; node++) values[node] = (values[node] ?? 0) + factor * (unit[node] ?? 0);
}

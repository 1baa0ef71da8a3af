import type { Result } from '../foundation/result.ts';
import { fail, ok } from '../foundation/result.ts';
import type { BeamError, SolvedBeam } from './beam.ts';
import { solveLaidBeam, suspendedBeam } from './beam.ts';
import type { BeamLayout } from './beam-layout.ts';
import type { BeamLine } from './beam-line.ts';
import type { LevelledHang } from './level-envelope.ts';

/** A laid-out beam on hoists, made ready for its level envelope. The layout's supports must all be tension-only hoists. */
export function levelledBeam(layout: BeamLayout): Result<LevelledHang<SolvedBeam, BeamError>, BeamError> {
  const count = layout.supports.length;
  if (count > 2 && !layout.eiIsKnown) return fail({ code: 'stiffness-needed', what: 'ei' });
  const atRest = solveLaidBeam(layout, layout.levelsM);
  if (!atRest.ok) return atRest;
  const beam = suspendedBeam(layout);
  const all = layout.supports.map(() => true);
  const taut = beam.answer(all, layout.levelsM, 'loaded');
  if (!taut.ok) return taut;
  const known: (readonly boolean[])[] = [];
  const lines: BeamLine[] = [];
  const columns: (readonly number[])[] = [];
  for (let hoist = 0; hoist < count; hoist++) {
    const unit = beam.answer(
      all,
      all.map((_, index) => (index === hoist ? 1 : 0)),
      'unloaded',
    );
    if (!unit.ok) return unit;
    lines.push(unit.value.line);
    columns.push(unit.value.reactionsN);
  }
  const { supports } = layout;
  // Answers are in the order along the beam, reactions and raised levels in the order of the input.
  const sorted = (raisedM: readonly number[]) => supports.map(({ inputIndex }) => raisedM[inputIndex] ?? 0);
  const place = supports.map(() => 0);
  for (const [index, { inputIndex }] of supports.entries()) place[inputIndex] = index;
  return ok({
    atRest: atRest.value,
    tautReactionsN: place.map((index) => taut.value.reactionsN[index] ?? 0),
    perMetre: place.map((row) => place.map((column) => columns[column]?.[row] ?? 0)),
    superposed: (raisedM) => {
      const factors = sorted(raisedM);
      const line = addLines(taut.value.line, lines, factors);
      const reactions = atRest.value.reactions.map((reaction, inputIndex) => {
        const index = place[inputIndex] ?? 0;
        const forceN = columns.reduce(
          (sum, column, hoist) => sum + (column[index] ?? 0) * (factors[hoist] ?? 0),
          taut.value.reactionsN[index] ?? 0,
        );
        return { ...reaction, forceN, slack: false };
      });
      return { layout, line, reactions, residual: atRest.value.residual };
    },
    withContact: (raisedM) => {
      const factors = sorted(raisedM);
      return solveLaidBeam(
        layout,
        layout.levelsM.map((levelM, index) => levelM + (factors[index] ?? 0)),
        known,
      );
    },
  });
}

function addLines(base: BeamLine, units: readonly BeamLine[], factors: readonly number[]): BeamLine {
  const sum = (of: (line: BeamLine) => readonly number[]) => {
    const values = [...of(base)];
    for (const [index, unit] of units.entries()) {
      const add = of(unit);
      const factor = factors[index] ?? 0;
      for (let node = 0; node < values.length; node++) values[node] = (values[node] ?? 0) + factor * (add[node] ?? 0);
    }
    return values;
  };
  return {
    shearLeftN: sum((line) => line.shearLeftN),
    shearRightN: sum((line) => line.shearRightN),
    momentLeftNm: sum((line) => line.momentLeftNm),
    momentRightNm: sum((line) => line.momentRightNm),
    turnRad: sum((line) => line.turnRad),
    downM: sum((line) => line.downM),
    misfit: base.misfit,
  };
}

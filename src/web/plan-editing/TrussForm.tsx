import type { ReactNode } from 'react';
import type { Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { useUnits } from '../units/units-choice.ts';
import { lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import {
  isBeyondItsEnds,
  startOverhangM,
  withLevel,
  withoutTrussHoist,
  withPickUpsAbove,
  withPickUpsAt,
  withStartOverhang,
  withStation,
  withTruss,
  withTrussHoist,
  type TrussHang,
} from './edit-truss.ts';
import { PointSelect } from './PointSelect.tsx';
import { shownM } from './shown.ts';
import { TextField } from './TextField.tsx';
import { Loads, Section } from './TrussParts.tsx';

type Props = { plan: Plan; hang: TrussHang; points: readonly RoofPoint[]; onChange: (hang: TrussHang) => void };

/** A straight truss: where it lies on its hoists, what it is and what hangs on it. */
export function TrussForm({ plan, hang, points, onChange }: Props) {
  const units = useUnits();
  const { build } = hang;
  const set = (change: Parameters<typeof withTruss>[1]) => onChange(withTruss(hang, change));
  const overhangM = startOverhangM(hang);
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.truss.title(lengthText(build.lengthM, units))}</legend>
      <div className="row">
        <NumberField
          label={words.truss.length}
          of="length"
          value={shownM(build.lengthM)}
          fault={isBeyondItsEnds(build) ? words.truss.beyond : null}
          onChange={(lengthM) => lengthM !== null && lengthM > 0 && set({ lengthM })}
        />
        {overhangM !== null && (
          <NumberField
            label={words.truss.overhang}
            of="length"
            value={shownM(overhangM)}
            onChange={(nextM) => nextM !== null && onChange(withStartOverhang(hang, nextM))}
          />
        )}
        <NumberField
          label={words.truss.height}
          of="length"
          value={shownM(build.start.zM + (build.pickUpsAboveM ?? 0))}
          onChange={(zM) => zM !== null && onChange(withPickUpsAt(hang, zM))}
        />
        <NumberField
          label={words.truss.above}
          of="length"
          optional
          value={build.pickUpsAboveM ?? null}
          onChange={(aboveM) => onChange(withPickUpsAbove(hang, aboveM))}
        />
      </div>
      {hang.pickUps.length < 2 && <p className="soft">{words.truss.oneHoist}</p>}
      <Hoists hang={hang} onChange={onChange}>
        <PointSelect
          key={hang.pickUps.length}
          label={hang.pickUps.length < 2 ? words.truss.secondHoist : words.truss.anotherHoist}
          points={points}
          value={null}
          onChange={(point) => onChange(withTrussHoist(plan, hang, point, () => crypto.randomUUID()))}
        />
      </Hoists>
      <Loads build={build} onChange={set} />
      <Section section={build.section} onChange={(section) => set({ section })} />
      <TextField label={words.truss.torsion} value={build.torsionBasis ?? null} onChange={(torsionBasis) => set({ torsionBasis })} />
    </fieldset>
  );
}

function Hoists({ hang, onChange, children }: Pick<Props, 'hang' | 'onChange'> & { children: ReactNode }) {
  const units = useUnits();
  const listed = [...hang.build.pickUps].sort((a, b) => a.atM - b.atM);
  return (
    <fieldset className="stack tight rows">
      <legend>{words.truss.hoists}</legend>
      <p className="soft">{words.truss.hoistsHint}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.truss.hoist}</th>
            <th scope="col">
              {words.truss.station} [{words.units.lengthNames[units.length]}]
            </th>
            <th scope="col">{words.truss.level}</th>
            <th scope="col">
              <span className="unseen">{words.points.remove}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {listed.map(({ pickUpId, atM, levelMm }) => {
            const chalk = hang.pickUps.find(({ id }) => id === pickUpId)?.chalk ?? words.checks.gone;
            return (
              <tr key={pickUpId}>
                <th scope="row">{chalk}</th>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.truss.station)}
                    of="length"
                    value={shownM(atM)}
                    onChange={(nextM) => nextM !== null && onChange(withStation(hang, pickUpId, nextM))}
                  />
                </td>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.truss.level)}
                    of="plain"
                    value={levelMm}
                    onChange={(nextMm) => nextMm !== null && onChange(withLevel(hang, pickUpId, nextMm))}
                  />
                </td>
                <td>
                  <button
                    type="button"
                    className="bare"
                    aria-label={words.points.removeNamed(chalk)}
                    disabled={hang.pickUps.length < 2}
                    onClick={() => onChange(withoutTrussHoist(hang, pickUpId))}
                  >
                    {words.rows.removeMark}
                  </button>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {children}
    </fieldset>
  );
}

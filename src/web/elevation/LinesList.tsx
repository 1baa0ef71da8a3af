import type { PointLoad } from '../../domain/assessment/assessment.ts';
import type { Hang } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { useUnits } from '../units/units-choice.ts';
import { forceText } from '../units/units.ts';
import { words } from '../words.ts';
import { mostPull } from './most-pull.ts';

type Props = { hang: Hang; points: readonly RoofPoint[]; loads: readonly PointLoad[] };

/** What holds a hang aside, with the most that it pulls on its point. */
export function LinesList({ hang, points, loads }: Props) {
  const units = useUnits();
  return (
    <table>
      <caption>{words.elevation.lines}</caption>
      <thead>
        <tr>
          <th scope="col">{words.lines.kind}</th>
          <th scope="col">{words.elevation.to}</th>
          <th scope="col" className="number">
            {words.elevation.pull}
          </th>
        </tr>
      </thead>
      <tbody>
        {(hang.linesOffPlumb ?? []).map(({ id, kind, to, pickUpId, pretensionKn }) => {
          const pull = 'pointId' in to ? mostPull(loads, to.pointId) : null;
          const at = hang.pickUps.find((pickUp) => pickUp.id === pickUpId)?.chalk ?? null;
          const pullText = pull === null ? words.checks.noNumbers : forceText(pull.pullKn, units, 'load');
          return (
            <tr key={id}>
              <th scope="row">
                {words.elevation.lineAt(words.elevation.line[kind], at)}
                {pretensionKn !== null && `, ${words.elevation.setTo(forceText(pretensionKn, units, 'load'))}`}
              </th>
              <td>
                {'pointId' in to
                  ? (points.find((point) => point.id === to.pointId)?.label ?? words.checks.gone)
                  : words.elevation.elsewhere}
              </td>
              <td className="number">{pull?.isLowerBound === true ? words.elevation.atLeast(pullText) : pullText}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

import type { PointLoad } from '../../domain/assessment/assessment.ts';
import type { Attachment } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { radToDeg } from '../../domain/foundation/elementary.ts';
import { solveBridle } from '../../domain/statics/bridle.ts';
import { useUnits } from '../units/units-choice.ts';
import { forceText, lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import { mostPull } from './most-pull.ts';

const WIDTH = 420;
const MARGIN = 40;
type Bridle = Extract<Attachment, { kind: 'bridle' }>;

/** A bridle in its own plane: each leg at its distance and height from the apex, with its length, its angle, and the most that it pulls on its point. */
export function BridleDrawing({
  chalk,
  attachment,
  points,
  loads,
}: {
  chalk: string;
  attachment: Bridle;
  points: readonly RoofPoint[];
  loads: readonly PointLoad[];
}) {
  const units = useUnits();
  const anchors = attachment.legs.flatMap(({ pointId }) => points.find(({ id }) => id === pointId) ?? []);
  const solved = solveBridle(0, attachment.apex, anchors);
  if (!solved.ok || anchors.length !== attachment.legs.length)
    return <p className="notice bad">{words.elevation.noBridle(solved.ok ? 'point-missing' : solved.error.code)}</p>;
  const { apex } = attachment;
  const legs = anchors.map((anchor, index) => {
    const [dx, dy] = [anchor.xM - apex.xM, anchor.yM - apex.yM];
    const side = index === 0 ? -1 : 1; // the plane of two legs; a third is turned into it at its own distance
    const pull = mostPull(loads, anchor.id);
    return {
      anchor,
      outM: side * Math.sqrt(dx * dx + dy * dy),
      upM: anchor.zM - apex.zM,
      leg: solved.value.legs[index]!,
      pullKn: pull?.pullKn ?? null,
      isLowerBound: pull?.isLowerBound ?? false,
    };
  });
  const outs = [0, ...legs.map(({ outM }) => outM)];
  const scale = (WIDTH - 2 * MARGIN) / Math.max(1, Math.max(...outs) - Math.min(...outs), Math.max(...legs.map(({ upM }) => upM)) * 1.6);
  const top = Math.max(...legs.map(({ upM }) => upM));
  const x = (outM: number) => MARGIN + (outM - Math.min(...outs)) * scale;
  const y = (upM: number) => MARGIN + (top - upM) * scale;
  return (
    <figure className="stack tight">
      <svg
        className="elevation"
        viewBox={`0 0 ${WIDTH} ${top * scale + 2 * MARGIN + 20}`}
        role="img"
        aria-label={words.elevation.bridle(chalk)}
      >
        {legs.map(({ anchor, outM, upM }) => (
          <g key={anchor.id}>
            <path d={`M${x(0)} ${y(0)}L${x(outM)} ${y(upM)}`} stroke="var(--ink)" strokeWidth="2.5" />
            <circle cx={x(outM)} cy={y(upM)} r="5" fill="var(--sheet)" stroke="var(--ink)" strokeWidth="2" />
            <text x={x(outM)} y={y(upM) - 12} textAnchor="middle" fill="var(--ink)" fontSize="13">
              {anchor.label}
            </text>
          </g>
        ))}
        <path d={`M${x(0)} ${y(0)}v26`} stroke="var(--ink)" strokeWidth="2" />
        <circle cx={x(0)} cy={y(0)} r="5" fill="var(--ink)" />
      </svg>
      <figcaption className="rows">
        <table>
          <thead>
            <tr>
              <th scope="col">{words.elevation.leg}</th>
              <th scope="col" className="number">
                {words.elevation.length}
              </th>
              <th scope="col" className="number">
                {words.elevation.angle}
              </th>
              <th scope="col" className="number">
                {words.elevation.pull}
              </th>
            </tr>
          </thead>
          <tbody>
            {legs.map(({ anchor, leg, pullKn, isLowerBound }) => (
              <tr key={anchor.id}>
                <th scope="row">{anchor.label}</th>
                <td className="number">{lengthText(leg.lengthM, units)}</td>
                <td className="number">{radToDeg(leg.angleOffVerticalRad).toFixed(1)}°</td>
                <td className="number">
                  {pullKn === null
                    ? words.checks.noNumbers
                    : isLowerBound
                      ? words.elevation.atLeast(forceText(pullKn, units, 'load'))
                      : forceText(pullKn, units, 'load')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </figcaption>
    </figure>
  );
}

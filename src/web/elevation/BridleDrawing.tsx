import type { Check } from '../../domain/assessment/assessment.ts';
import type { Attachment } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { radToDeg } from '../../domain/foundation/elementary.ts';
import { solveBridle } from '../../domain/statics/bridle.ts';
import { useUnits } from '../units/units-choice.ts';
import { forceText, lengthText } from '../units/units.ts';
import { words } from '../words.ts';

const WIDTH = 420;
const MARGIN = 40;
type Bridle = Extract<Attachment, { kind: 'bridle' }>;

/** A bridle in its own plane: each leg at its distance and height from the apex, with length, angle and tension. */
export function BridleDrawing({
  chalk,
  attachment,
  points,
  checks,
}: {
  chalk: string;
  attachment: Bridle;
  points: readonly RoofPoint[];
  checks: readonly Check[];
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
    const tension =
      checks.find(({ kind, id }) => kind === 'leg' && id.includes(anchor.id)) ??
      checks.find(({ kind, pointId }) => kind === 'leg' && pointId === anchor.id);
    return { anchor, outM: side * Math.sqrt(dx * dx + dy * dy), upM: anchor.zM - apex.zM, leg: solved.value.legs[index]!, tension };
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
      <figcaption>
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
                {words.elevation.tension}
              </th>
            </tr>
          </thead>
          <tbody>
            {legs.map(({ anchor, leg, tension }) => (
              <tr key={anchor.id}>
                <th scope="row">{anchor.label}</th>
                <td className="number">{lengthText(leg.lengthM, units)}</td>
                <td className="number">{radToDeg(leg.angleOffVerticalRad).toFixed(1)}°</td>
                <td className="number">
                  {tension?.demand === null || tension?.demand === undefined || tension.unit !== 'kN'
                    ? '–'
                    : forceText(tension.demand, units, 'load')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </figcaption>
    </figure>
  );
}

import type { ArrayBuild, Hang } from '../../domain/plan/plan.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthText, massText } from '../units/units.ts';
import { words } from '../words.ts';
import { arrayOutline } from './array-outline.ts';

const SIZE = 420;
const MARGIN = 46;

/** The array cabinet by cabinet, as it hangs: pitch of each, holes, centre of gravity, lowest corner, what each hoist takes. */
export function ArrayDrawing({ hang, build }: { hang: Extract<Hang, { kind: 'array' }>; build: ArrayBuild }) {
  const units = useUnits();
  const used = hang.pickUps.flatMap(({ id }) => build.holes.find(({ pickUpId }) => pickUpId === id)?.holeId ?? []);
  const answer = arrayOutline(build, used);
  if (!answer.ok)
    return (
      <p className="notice bad">{words.elevation.refusals[answer.code as 'chain-would-push'] ?? words.elevation.notDrawn(answer.code)}</p>
    );
  const { elements, holes, cg, lowest, reactions, framePitchDeg, totalMassKg, heightM, depthM, isIncomplete, holdableDeg } = answer.outline;
  const spots = [...elements.flatMap(({ corners }) => corners), ...elements.map(({ top }) => top), ...holes, lowest, cg];
  const [u0, u1] = [Math.min(...spots.map(({ uM }) => uM)), Math.max(...spots.map(({ uM }) => uM))];
  const [v0, v1] = [Math.min(...spots.map(({ vM }) => vM)), Math.max(...spots.map(({ vM }) => vM))];
  const scale = (SIZE - 2 * MARGIN) / Math.max(0.5, u1 - u0, v1 - v0);
  const width = (u1 - u0) * scale + 2 * MARGIN + 130;
  const height = (v1 - v0) * scale + 2 * MARGIN;
  const x = (uM: number) => MARGIN + (uM - u0) * scale;
  const y = (vM: number) => MARGIN + (v1 - vM) * scale;
  const path = (corners: readonly { uM: number; vM: number }[]) => `M${corners.map(({ uM, vM }) => `${x(uM)} ${y(vM)}`).join('L')}Z`;
  return (
    <figure className="stack tight">
      <svg
        className="elevation"
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={words.elevation.array(hang.label, build.elements.length)}
      >
        {elements.map(({ corners, pitchDeg, top }, index) => (
          <g key={index}>
            {corners.length > 2 && <path d={path(corners)} fill="var(--raised)" stroke="var(--ink)" strokeWidth="1.5" />}
            <circle cx={x(top.uM)} cy={y(top.vM)} r="2.5" fill="var(--ink)" />
            <text x={x(u1) + 12} y={y(top.vM) + 14} fill="var(--soft)" fontSize="12">
              {`${index + 1}: ${pitchDeg.toFixed(1)}°`}
            </text>
          </g>
        ))}
        {holes
          .filter(({ id }) => used.includes(id))
          .map(({ id, uM, vM }) => (
            <g key={id}>
              <path d={`M${x(uM)} ${y(vM)}V6`} stroke="var(--ink)" strokeWidth="2" />
              <circle cx={x(uM)} cy={y(vM)} r="4" fill="var(--sheet)" stroke="var(--ink)" strokeWidth="2" />
              <text x={x(uM) + 6} y="16" fill="var(--ink)" fontSize="12">
                {`${id} ${isIncomplete ? words.elevation.unknownLoad : massText(reactions.find(({ hole }) => hole === id)?.massKg ?? 0, units, 'load')}`}
              </text>
            </g>
          ))}
        {!isIncomplete && (
          <g stroke="var(--close)" strokeWidth="2" fill="none">
            <circle cx={x(cg.uM)} cy={y(cg.vM)} r="7" />
            <path d={`M${x(cg.uM) - 11} ${y(cg.vM)}h22M${x(cg.uM)} ${y(cg.vM) - 11}v22`} />
          </g>
        )}
        <path d={`M${x(lowest.uM) - 8} ${y(lowest.vM) + 4}h16`} stroke="var(--focus)" strokeWidth="3" />
      </svg>
      <figcaption>
        <dl className="facts">
          <dt>{words.elevation.mass}</dt>
          <dd>{isIncomplete ? words.elevation.atLeast(massText(totalMassKg, units, 'load')) : massText(totalMassKg, units, 'load')}</dd>
          <dt>{words.elevation.pitch}</dt>
          <dd>
            {framePitchDeg.toFixed(1)}°{' '}
            {holdableDeg && <span className="soft">{words.elevation.holdable(holdableDeg.from, holdableDeg.to)}</span>}
          </dd>
          <dt>{words.elevation.size}</dt>
          <dd>{words.elevation.by(lengthText(heightM, units), lengthText(depthM, units))}</dd>
          <dt>{words.elevation.lowestBelow}</dt>
          <dd>{lengthText(-lowest.vM, units)}</dd>
        </dl>
      </figcaption>
    </figure>
  );
}

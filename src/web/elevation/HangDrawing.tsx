import { cos, degToRad, sin } from '../../domain/foundation/elementary.ts';
import { hookOfLine, placeOnTier, pointIdsOfHang, wayPieces } from '../../domain/plan/attachment-places.ts';
import type { Hang } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { isBuiltTruss, trussPlace } from '../plan-editing/edit-truss.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthText } from '../units/units.ts';
import { words } from '../words.ts';

const [WIDTH, HEIGHT, LEFT, FLOOR, TOP] = [420, 360, 84, 330, 26];

/** How far a place is to the side [m], from the middle of the pick-ups or of the truss: along a truss, else in x. */
function sideLine(hang: Hang): (place: { xM: number; yM: number }) => number {
  const middle = (of: 'xM' | 'yM') => hang.pickUps.reduce((sum, { position }) => sum + position[of] / hang.pickUps.length, 0);
  const turn = isBuiltTruss(hang) ? degToRad(hang.build.azimuthDeg) : 0;
  const centre = isBuiltTruss(hang) ? trussPlace(hang.build, hang.build.lengthM / 2) : { xM: middle('xM'), yM: middle('yM') };
  return ({ xM, yM }) => (xM - centre.xM) * cos(turn) + (yM - centre.yM) * sin(turn);
}

/** Floor, trim, pick-ups and roof points at their heights; to the side along a truss, else in x. */
export function HangDrawing({ hang, points }: { hang: Hang; points: readonly RoofPoint[] }) {
  const units = useUnits();
  const placeOf = (pointId: string) => points.find(({ id }) => id === pointId);
  const anchors = pointIdsOfHang(hang).flatMap((id) => placeOf(id) ?? []);
  const highest = Math.max(
    1,
    ...anchors.map(({ zM }) => zM),
    ...hang.pickUps.map(({ position }) => position.zM ?? 0),
    hang.box?.topZM ?? 0,
  );
  const y = (zM: number) => FLOOR - (zM / highest) * (FLOOR - TOP);
  const scale = (FLOOR - TOP) / highest;
  const side = sideLine(hang);
  const truss = isBuiltTruss(hang) ? hang.build : null;
  const ends = truss === null ? [] : [0, truss.lengthM].map((atM) => side(trussPlace(truss, atM)));
  // A long truss is as wide as the drawing, and all that hangs on it in the same proportion along it.
  const across = Math.min(scale, ...ends.map((endM) => 150 / Math.max(0.1, Math.abs(endM))));
  const x = (place: { xM: number; yM: number }) =>
    LEFT + (WIDTH - LEFT) / 2 + Math.max(-1, Math.min(1, (side(place) * across) / 150)) * 150;
  const bottom = hang.trim?.heightM ?? hang.box?.bottomZM ?? null;
  const levels: [number, string][] = [
    [0, words.elevation.floor],
    ...(bottom === null
      ? []
      : [[bottom, words.elevation.trim(words.elevation.trimOf[hang.trim?.of ?? 'lowestCorner'])] as [number, string]]),
    [highest, words.elevation.point],
  ];
  const half = ((hang.box?.alongM ?? 0.8) / 2) * scale;
  return (
    <svg className="elevation" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={words.elevation.side(hang.label)}>
      {levels.map(([zM, name]) => (
        <g key={name}>
          <path
            d={`M${LEFT} ${y(zM)}H${WIDTH}`}
            stroke="var(--line)"
            strokeDasharray={zM === 0 ? '' : '4 4'}
            strokeWidth={zM === 0 ? 3 : 1}
          />
          <text x={LEFT - 8} y={y(zM) + 1} textAnchor="end" fill="var(--ink)" fontSize="13">
            {lengthText(zM, units)}
          </text>
          <text x={LEFT - 8} y={y(zM) + 14} textAnchor="end" fill="var(--soft)" fontSize="11">
            {name}
          </text>
        </g>
      ))}
      {hang.pickUps.map(({ id, chalk, position, attachment, hoist }) => {
        const pickY = y(position.zM ?? bottom ?? highest / 2);
        const px = x(position);
        const top =
          attachment.kind === 'bridle'
            ? attachment.apex
            : attachment.kind === 'tiers'
              ? placeOnTier(attachment.tiers, attachment.foot)
              : attachment.kind === 'direct'
                ? (placeOf(attachment.pointId) ?? null)
                : null;
        const apexY = top === null ? y(highest) : y(top.zM);
        const topX = top !== null && attachment.kind !== 'tiers' ? x(top) : px; // a line that is off plumb is drawn so
        return (
          <g key={id} stroke="var(--ink)" strokeWidth="2" fill="none">
            <path d={`M${px} ${truss === null ? pickY : y(truss.start.zM)}V${pickY}L${topX} ${apexY}`} />
            {hoist !== null && (
              <rect x={px - 5} y={hoist.mount === 'bodyDown' ? pickY - 24 : apexY + 8} width="10" height="16" fill="var(--sheet)" />
            )}
            {attachment.kind === 'bridle' &&
              attachment.legs.map(({ pointId }) => {
                const to = placeOf(pointId);
                return to && <path key={pointId} d={`M${topX} ${apexY}L${x(to)} ${y(to.zM)}`} />;
              })}
            {attachment.kind === 'tiers' &&
              wayPieces({ attachment, position }).map(({ from, to }, index) => {
                const end = 'pointId' in to ? placeOf(to.pointId) : to;
                return end && from.zM !== null && <path key={index} d={`M${x(from)} ${y(from.zM)}L${x(end)} ${y(end.zM)}`} />;
              })}
            <circle cx={px} cy={pickY} r="3.5" fill="var(--ink)" />
            <text
              x={px > WIDTH - 90 ? px - 9 : px + 9}
              y={pickY - 28}
              textAnchor={px > WIDTH - 90 ? 'end' : 'start'}
              fill="var(--ink)"
              stroke="none"
              fontSize="12"
            >
              {chalk}
            </text>
          </g>
        );
      })}
      {(hang.linesOffPlumb ?? []).map((line) => {
        const { id, to } = line;
        const end = 'pointId' in to ? placeOf(to.pointId) : to.place;
        const from = hookOfLine(hang, line)?.position;
        if (!end || !from) return null;
        const [hookX, hookY] = [x(from), y(from.zM ?? bottom ?? highest / 2)];
        // One that runs square to the drawing would be hidden by the chain: its hook is ringed.
        const isSquare = Math.abs(x(end) - hookX) < 4 && Math.hypot(end.xM - from.xM, end.yM - from.yM) > 0.3;
        return (
          <g key={id} stroke="var(--ink)" strokeDasharray={isSquare ? '3 2' : '6 3'} fill="none">
            {isSquare ? <circle cx={hookX} cy={hookY} r="8" /> : <path d={`M${hookX} ${hookY}L${x(end)} ${y(end.zM)}`} />}
          </g>
        );
      })}
      {truss !== null && (
        <path
          d={`M${[0, truss.lengthM].map((atM) => `${x(trussPlace(truss, atM))} ${y(truss.start.zM)}`).join('L')}`}
          stroke="var(--ink)"
          strokeWidth="5"
        />
      )}
      {truss === null && bottom !== null && hang.pickUps[0] && (
        <rect
          x={(hang.box === null ? LEFT + (WIDTH - LEFT) / 2 : x(hang.box)) - half}
          width={half * 2}
          y={y(hang.box?.topZM ?? hang.pickUps[0].position.zM ?? bottom + 1)}
          height={Math.max(3, y(bottom) - y(hang.box?.topZM ?? hang.pickUps[0].position.zM ?? bottom + 1))}
          fill="var(--raised)"
          stroke="var(--ink)"
          strokeWidth="1.5"
        />
      )}
    </svg>
  );
}

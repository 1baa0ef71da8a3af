import { sidesOf, type FrameHang } from '../plan-editing/edit-frame.ts';
import { words } from '../words.ts';

const [WIDTH, HEIGHT, MARGIN] = [420, 300, 48];

/** A truss frame from above, to scale: its sides by number, and its hoists. */
export function FrameDrawing({ hang }: { hang: FrameHang }) {
  const { corners } = hang.build;
  const hoists = hang.pickUps.map(({ id, chalk, position }) => ({ id, chalk, ...position }));
  const all = [...corners, ...hoists];
  const [left, right] = [Math.min(...all.map(({ xM }) => xM)), Math.max(...all.map(({ xM }) => xM))];
  const [near, far] = [Math.min(...all.map(({ yM }) => yM)), Math.max(...all.map(({ yM }) => yM))];
  const scale = Math.min((WIDTH - 2 * MARGIN) / Math.max(0.1, right - left), (HEIGHT - 2 * MARGIN) / Math.max(0.1, far - near));
  const x = (xM: number) => WIDTH / 2 + (xM - (left + right) / 2) * scale;
  const y = (yM: number) => HEIGHT / 2 - (yM - (near + far) / 2) * scale;
  const middle = { xM: (left + right) / 2, yM: (near + far) / 2 };
  return (
    <svg
      className="elevation"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      role="img"
      aria-label={words.elevation.trussFrame(hang.label, hang.pickUps.length)}
    >
      {sidesOf(hang.build).map(({ from, to }, index) => {
        const [mx, my] = [(x(from.xM) + x(to.xM)) / 2, (y(from.yM) + y(to.yM)) / 2];
        const [ux, uy] = [x(middle.xM) - mx, y(middle.yM) - my];
        const inM = Math.max(1, Math.sqrt(ux * ux + uy * uy));
        return (
          <g key={index}>
            <path d={`M${x(from.xM)} ${y(from.yM)}L${x(to.xM)} ${y(to.yM)}`} stroke="var(--ink)" strokeWidth="6" strokeLinecap="round" />
            <text x={mx + (ux / inM) * 18} y={my + (uy / inM) * 18 + 4} textAnchor="middle" fill="var(--soft)" fontSize="12">
              {words.trussFrame.sideNumber(index + 1)}
            </text>
          </g>
        );
      })}
      {hoists.map(({ id, chalk, xM, yM }) => (
        <g key={id}>
          <circle cx={x(xM)} cy={y(yM)} r="6" fill="var(--sheet)" stroke="var(--ink)" strokeWidth="2" />
          <text x={x(xM)} y={y(yM) + (yM < middle.yM ? 24 : -12)} textAnchor="middle" fill="var(--ink)" fontSize="12">
            {chalk}
          </text>
        </g>
      ))}
    </svg>
  );
}

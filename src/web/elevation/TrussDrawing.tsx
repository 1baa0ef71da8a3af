import type { TrussHang } from '../plan-editing/edit-truss.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthText, massText } from '../units/units.ts';
import { words } from '../words.ts';

const [WIDTH, HEIGHT, MARGIN, CHORD, BAR] = [420, 176, 34, 72, 14];
/** A text near an edge goes inwards from its place. */
const anchorOf = (x: number) => (x < 80 ? 'start' : x > WIDTH - 80 ? 'end' : 'middle');

/** A truss along its axis, to scale: hoists at their stations, each load where it hangs with its number, and what each number is. */
export function TrussDrawing({ hang }: { hang: TrussHang }) {
  const units = useUnits();
  const { build } = hang;
  const scale = (WIDTH - 2 * MARGIN) / Math.max(0.1, build.lengthM);
  const x = (atM: number) => MARGIN + Math.max(-MARGIN, Math.min(WIDTH - MARGIN, atM * scale));
  const hoists = [...build.pickUps].sort((a, b) => a.atM - b.atM);
  const massOf = (massKg: number | null) => (massKg === null ? words.notStated : massText(massKg, units, 'load'));
  const points = build.pointLoads.map(({ what, atM, massKg }, index) => ({
    number: index + 1,
    atM,
    text: words.elevation.loadAt(what, massOf(massKg), lengthText(atM, units)),
  }));
  const spreads = build.spreadLoads.map(({ what, fromM, toM, kgPerM }, index) => ({
    number: points.length + index + 1,
    fromM,
    toM,
    text: words.elevation.loadAlong(
      what,
      kgPerM === null ? words.notStated : `${kgPerM} kg/m`,
      lengthText(fromM, units),
      lengthText(toM, units),
    ),
  }));
  const bottom = CHORD + BAR;
  return (
    <figure className="stack tight">
      <svg
        className="elevation"
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={words.elevation.truss(hang.label, hang.pickUps.length)}
      >
        <rect x={x(0)} y={CHORD} width={x(build.lengthM) - x(0)} height={BAR} fill="var(--raised)" stroke="var(--ink)" strokeWidth="1.5" />
        {hoists.map(({ pickUpId, atM }, index) => (
          <g key={pickUpId}>
            <path d={`M${x(atM)} ${CHORD}V${index % 2 === 0 ? 36 : 54}`} stroke="var(--ink)" strokeWidth="2" />
            <circle cx={x(atM)} cy={CHORD} r="3.5" fill="var(--ink)" />
            <text x={x(atM)} y={index % 2 === 0 ? 16 : 34} textAnchor={anchorOf(x(atM))} fill="var(--ink)" fontSize="12">
              {hang.pickUps.find(({ id }) => id === pickUpId)?.chalk ?? ''}
            </text>
            <text x={x(atM)} y={index % 2 === 0 ? 30 : 48} textAnchor={anchorOf(x(atM))} fill="var(--soft)" fontSize="11">
              {lengthText(atM, units)}
            </text>
          </g>
        ))}
        {spreads.map(({ number, fromM, toM }) => (
          <g key={number}>
            <rect x={x(fromM)} y={bottom + 3} width={Math.max(2, x(toM) - x(fromM))} height="7" fill="var(--soft)" fillOpacity="0.5" />
            <text x={(x(fromM) + x(toM)) / 2} y={bottom + 23} textAnchor="middle" fill="var(--ink)" fontSize="12">
              {number}
            </text>
          </g>
        ))}
        {points.map(({ number, atM }) => (
          <g key={number}>
            <path d={`M${x(atM)} ${bottom}V${bottom + 40}m-5 -9l5 9l5 -9`} stroke="var(--ink)" strokeWidth="2" fill="none" />
            <text x={x(atM)} y={bottom + 55} textAnchor="middle" fill="var(--ink)" fontSize="12">
              {number}
            </text>
          </g>
        ))}
        <text x={x(0)} y={HEIGHT - 6} textAnchor="middle" fill="var(--soft)" fontSize="11">
          {lengthText(0, units)}
        </text>
        <text x={x(build.lengthM)} y={HEIGHT - 6} textAnchor="middle" fill="var(--soft)" fontSize="11">
          {lengthText(build.lengthM, units)}
        </text>
      </svg>
      {points.length + spreads.length > 0 && (
        <figcaption>
          <dl className="facts">
            {[...points, ...spreads].map(({ number, text }) => (
              <div key={number} className="pair">
                <dt>{number}</dt>
                <dd>{text}</dd>
              </div>
            ))}
          </dl>
        </figcaption>
      )}
    </figure>
  );
}

import type { Check } from '../../domain/assessment/assessment.ts';
import { useUnits } from '../units/units-choice.ts';
import { amountText } from '../units/units.ts';
import { words } from '../words.ts';

const WIDTH = 400;
const HEIGHT = 120;
const EDGE = 4;

/** What the loads can come to along a member, under what is allowed there; the stations are said in words beneath. */
export function MemberDiagram({ check: { diagram, unit } }: { check: Pick<Check, 'diagram' | 'unit'> }) {
  const units = useUnits();
  const [first, last] = [diagram?.[0], diagram?.at(-1)];
  if (!diagram || !first || !last) return null;
  const most = Math.max(...diagram.map(({ demand, capacity }) => Math.max(demand, capacity ?? 0)));
  const x = (atM: number) => EDGE + ((atM - first.atM) / (last.atM - first.atM || 1)) * (WIDTH - 2 * EDGE);
  const y = (amount: number) => HEIGHT - EDGE - (amount / (most || 1)) * (HEIGHT - 2 * EDGE);
  const line = diagram.map(({ atM, demand }) => `${x(atM)},${y(demand)}`).join(' ');
  const allowed = diagram.flatMap(({ atM, capacity }) => (capacity === null ? [] : [`${x(atM)},${y(capacity)}`])).join(' ');
  return (
    <figure className="along stack tight">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
        <line x1={EDGE} x2={WIDTH - EDGE} y1={y(0)} y2={y(0)} className="axis" />
        <polyline points={allowed} className="allowed" />
        <polyline points={line} className="reached" />
      </svg>
      <figcaption className="soft">
        {words.checks.along}{' '}
        {diagram
          .map(({ atM, demand }) => `${amountText(atM, 'm', units, 'nearest')}: ${amountText(demand, unit, units, 'load')}`)
          .join('; ')}
      </figcaption>
    </figure>
  );
}

import { useState } from 'react';
import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { ratingText } from './rating-text.ts';

const MOST = 60; // more than one reads: the filter finds the rest

/** All that the plan shows, for those who would rather read. */
export function PointList({
  points,
  selectedId,
  onSelect,
}: {
  points: readonly RoofPoint[];
  selectedId: string | null;
  onSelect: (pointId: string) => void;
}) {
  const units = useUnits();
  const [filter, setFilter] = useState('');
  const wanted = filter.trim().toLowerCase();
  const found = points.filter(({ label }) => label.toLowerCase().includes(wanted));
  return (
    <details className="sheet stack">
      <summary>{words.plan.list}</summary>
      <Field label={words.points.filter} value={filter} onChange={(event) => setFilter(event.target.value)} />
      <ul className="hangs">
        {found.slice(0, MOST).map((point) => (
          <li key={point.id}>
            <button type="button" aria-pressed={point.id === selectedId} onClick={() => onSelect(point.id)}>
              <span>{point.label}</span>
              <span className="soft">
                {ratingText(point, units)}, {words.point.states[point.state]}
              </span>
            </button>
          </li>
        ))}
      </ul>
      {found.length > MOST && <p className="soft">{words.points.more(found.length - MOST)}</p>}
    </details>
  );
}

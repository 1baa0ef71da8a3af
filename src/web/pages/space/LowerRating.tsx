import { useState } from 'react';
import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { readMass } from '../../units/units.ts';
import { words } from '../../words.ts';
import { useStructureChange } from './use-structure-change.ts';

/** The act that is in a hurry: from the plan, one field. What a rating means stays as it was, so it can only fall here. */
export function LowerRating({ spaceId, point, version }: { spaceId: string; point: RoofPoint; version: number | null }) {
  const units = useUnits();
  const [typed, setTyped] = useState('');
  const [fault, setFault] = useState<string | null>(null);
  const change = useStructureChange(spaceId);
  const lower = () => {
    const entered = readMass(typed, units);
    if (!entered.ok) return setFault(words.points.faults[entered.fault]);
    if (entered.value < 0 || (point.wllKg !== null && entered.value >= point.wllKg)) return setFault(words.lower.notLower);
    setFault(null);
    change.mutate([{ kind: 'points', ifMatch: version, item: { ...point, wllKg: entered.value } }], { onSuccess: () => setTyped('') });
  };
  return (
    <form
      noValidate
      className="stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        lower();
      }}
    >
      <div className="row">
        <Field
          label={`${words.lower.to} [${units.mass}]`}
          size={9}
          inputMode="decimal"
          value={typed}
          fault={fault}
          onChange={(event) => setTyped(event.target.value)}
        />
        <button type="submit" disabled={change.isPending}>
          {words.lower.act}
        </button>
      </div>
      {change.isSuccess && <p role="status">{words.lower.done}</p>}
      {change.isError && <ProblemPanel error={change.error} />}
    </form>
  );
}

import { useState } from 'react';
import type { Limit } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { RowsField } from '../../parts/RowsField.tsx';
import { emptyRow, rowsOf, type Row } from '../../parts/typed-rows.ts';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import {
  hasField,
  LIMIT_KINDS,
  readLimit,
  typedLimit,
  weightColumns,
  type LimitField,
  type LimitKind,
  type LimitRoof,
} from './limit-typed.ts';
import { CORNERS } from './outline.ts';

const NO_TERMS = { basis: null, format: null, dynamic: null, mustInclude: null, holdsWithOthersLoaded: null };
const THREE_CORNERS: readonly Row[] = [emptyRow(0), emptyRow(1), emptyRow(2)];

/** A limit on points, on a member or on an area: a new one of any kind, or one that is there, whose kind and terms it keeps. */
export function LimitForm({
  limit,
  roof,
  isBusy,
  onSave,
}: {
  limit: Limit | null;
  roof: LimitRoof;
  isBusy: boolean;
  onSave: (limit: Limit) => void;
}) {
  const units = useUnitsAtStart();
  const [kind, setKind] = useState<LimitKind>(limit?.kind ?? 'group');
  const [typed, setTyped] = useState(() => typedLimit(limit, roof, units));
  const [weights, setWeights] = useState(() =>
    limit?.kind === 'weighted' ? rowsOf(weightColumns(roof), limit.weights, units) : [emptyRow(0)],
  );
  const [corners, setCorners] = useState(() => (limit?.kind === 'areaDensity' ? rowsOf(CORNERS, limit.area, units) : [...THREE_CORNERS]));
  const [wasTried, setTried] = useState(false);
  const common = limit ?? { id: crypto.randomUUID(), label: '', hard: true, terms: NO_TERMS };
  const read = readLimit(kind, typed, { weights, corners }, { common, roof, units, began: limit });
  const said = <T,>(fault: T): T | null => (wasTried ? fault : null);
  const field = (name: LimitField, label: string, hint?: string) => (
    <Field
      label={label}
      {...(hint === undefined ? {} : { hint })}
      fault={said(read.faults[name] ?? null)}
      value={typed[name]}
      onChange={(event) => setTyped({ ...typed, [name]: event.target.value })}
    />
  );
  const [mass, length] = [units.mass, words.units.lengthNames[units.length]];
  return (
    <form
      noValidate
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (read.limit !== null) onSave(read.limit);
      }}
    >
      <div className="row">
        {limit === null && (
          <label className="field">
            <span>{words.limits.kind}</span>
            <select value={kind} onChange={(event) => setKind(LIMIT_KINDS.find((one) => one === event.target.value) ?? kind)}>
              {LIMIT_KINDS.map((one) => (
                <option key={one} value={one}>
                  {words.limits.kinds[one]}
                </option>
              ))}
            </select>
          </label>
        )}
        {field('label', words.point.label)}
      </div>
      {hasField(kind, 'points') && field('points', words.limits.points, words.limits.pointsHint)}
      {kind === 'weighted' && (
        <RowsField
          title={words.limits.weights}
          hint={words.limits.weightsHint}
          columns={weightColumns(roof)}
          rows={weights}
          units={units}
          addText={words.limits.addWeight}
          faultOf={(key, name) => said(read.weightFault(key, name))}
          onChange={setWeights}
        />
      )}
      {kind === 'areaDensity' && (
        <RowsField
          title={words.area.corners}
          hint={words.area.hint}
          columns={CORNERS}
          rows={corners}
          units={units}
          addText={words.area.add}
          faultOf={(key, name) => said(read.cornerFault(key, name))}
          onChange={setCorners}
        />
      )}
      {hasField(kind, 'memberId') && (
        <label className="field">
          <span>{words.limits.member}</span>
          <select value={typed.memberId} onChange={(event) => setTyped({ ...typed, memberId: event.target.value })}>
            {roof.members.map(({ id, label }) => (
              <option key={id} value={id}>
                {label}
              </option>
            ))}
          </select>
          {wasTried && read.faults.memberId && <small className="fault">{read.faults.memberId}</small>}
        </label>
      )}
      <div className="row">
        {hasField(kind, 'length') && field('length', `${kind === 'spacing' ? words.limits.leastApart : words.limits.window} [${length}]`)}
        {hasField(kind, 'mass') &&
          field('mass', kind === 'areaDensity' ? words.limits.areaCapacity(mass) : `${words.limits.capacity} [${mass}]`)}
        {hasField(kind, 'least') && field('least', `${words.limits.notLess} [${mass}]`)}
        {hasField(kind, 'reduced') && field('reduced', `${words.limits.reduced} [${mass}]`)}
        {hasField(kind, 'count') && field('count', words.limits.mostLoaded)}
        {hasField(kind, 'across') && field('across', words.limits.across)}
        {hasField(kind, 'along') && field('along', words.limits.along, words.limits.sidewaysEmpty)}
      </div>
      {wasTried &&
        read.others.map((text) => (
          <p key={text} className="fault">
            {text}
          </p>
        ))}
      {limit === null && <p className="soft">{words.limits.noBasis}</p>}
      <div>
        <button type="submit" disabled={isBusy}>
          {limit === null ? words.limits.addButton : words.limits.saveOf}
        </button>
      </div>
    </form>
  );
}

import { useState } from 'react';
import type { KeepOut } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { NumberField } from '../../parts/NumberField.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { lengthText, readLength } from '../../units/units.ts';
import { words } from '../../words.ts';
import { EffectChoice } from './EffectChoice.tsx';
import { useStructureChange } from './use-structure-change.ts';

type Roof = { keepOuts: KeepOut[]; versions: Record<string, number> };
const REASONS = Object.keys(words.keepOuts.reasons) as (keyof typeof words.keepOuts.reasons)[];

export function KeepOutsView({ spaceId, structure, isEditable }: { spaceId: string; structure: object; isEditable: boolean }) {
  const roof = structure as Roof;
  const units = useUnits();
  const change = useStructureChange(spaceId);
  const save = (item: KeepOut) => change.mutate([{ kind: 'keep-outs', ifMatch: roof.versions[item.id] ?? null, item }]);
  return (
    <section className="stack">
      {change.isError && <ProblemPanel error={change.error} />}
      {isEditable && <NewKeepOut onAdd={(item) => change.mutate([{ kind: 'keep-outs', ifMatch: null, item }])} />}
      {roof.keepOuts.length === 0 ? (
        <p className="soft">{words.keepOuts.empty}</p>
      ) : (
        <div className="scroll">
          <table className="fold">
            <thead>
              <tr>
                <th scope="col">{words.point.label}</th>
                <th scope="col">{words.keepOuts.reason}</th>
                <th scope="col">{words.keepOuts.heights}</th>
                <th scope="col">{words.keepOuts.effect}</th>
                {isEditable && (
                  <th scope="col">
                    <span className="unseen">{words.points.remove}</span>
                  </th>
                )}
              </tr>
            </thead>
            <tbody>
              {roof.keepOuts.map((one) => (
                <tr key={one.id}>
                  <th scope="row">{one.label}</th>
                  <td>{words.keepOuts.reasons[one.reason]}</td>
                  <td>
                    {isEditable ? (
                      <span className="row">
                        <NumberField
                          isBare
                          label={words.points.cell(one.label, words.keepOuts.sides.bottom)}
                          of="length"
                          value={one.fromZM}
                          onChange={(fromZM) => fromZM !== null && save({ ...one, fromZM })}
                        />
                        –
                        <NumberField
                          isBare
                          label={words.points.cell(one.label, words.keepOuts.sides.top)}
                          of="length"
                          value={one.toZM}
                          onChange={(toZM) => toZM !== null && save({ ...one, toZM })}
                        />
                        {words.units.lengthNames[units.length]}
                      </span>
                    ) : (
                      `${lengthText(one.fromZM, units)} – ${lengthText(one.toZM, units)}`
                    )}
                  </td>
                  <td>
                    <EffectChoice label={one.label} hard={one.hard} onChange={isEditable ? (hard) => save({ ...one, hard }) : null} />
                  </td>
                  {isEditable && (
                    <td>
                      <button
                        type="button"
                        className="bare"
                        aria-label={words.points.removeNamed(one.label)}
                        onClick={() =>
                          change.mutate([{ kind: 'remove', of: 'keep-outs', id: one.id, ifMatch: roof.versions[one.id] ?? 1 }])
                        }
                      >
                        {words.points.remove}
                      </button>
                    </td>
                  )}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </section>
  );
}

const SIDES = ['left', 'right', 'front', 'back', 'bottom', 'top'] as const;

function NewKeepOut({ onAdd }: { onAdd: (keepOut: KeepOut) => void }) {
  const units = useUnits();
  const empty = { label: '', reason: 'duct' as KeepOut['reason'], left: '', right: '', front: '', back: '', bottom: '', top: '' };
  const [typed, setTyped] = useState(empty);
  const read = Object.fromEntries(SIDES.map((side) => [side, readLength(typed[side], units)])) as Record<
    (typeof SIDES)[number],
    ReturnType<typeof readLength>
  >;
  const value = (side: (typeof SIDES)[number]): number => (read[side].ok ? read[side].value : NaN);
  const isReady =
    typed.label.trim() !== '' && value('left') < value('right') && value('front') < value('back') && value('bottom') < value('top');
  return (
    <details className="sheet">
      <summary>{words.keepOuts.add}</summary>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          if (!isReady) return;
          const [x0, x1, y0, y1] = [value('left'), value('right'), value('front'), value('back')];
          onAdd({
            id: crypto.randomUUID(),
            label: typed.label.trim(),
            reason: typed.reason,
            area: [
              { xM: x0, yM: y0 },
              { xM: x1, yM: y0 },
              { xM: x1, yM: y1 },
              { xM: x0, yM: y1 },
            ],
            fromZM: value('bottom'),
            toZM: value('top'),
            hard: true,
            fromDay: null,
            untilDay: null,
          });
          setTyped(empty);
        }}
      >
        <Field label={words.point.label} value={typed.label} onChange={(event) => setTyped({ ...typed, label: event.target.value })} />
        <label className="field">
          <span>{words.keepOuts.reason}</span>
          <select value={typed.reason} onChange={(event) => setTyped({ ...typed, reason: event.target.value as KeepOut['reason'] })}>
            {REASONS.map((reason) => (
              <option key={reason} value={reason}>
                {words.keepOuts.reasons[reason]}
              </option>
            ))}
          </select>
        </label>
        <div className="row">
          {SIDES.map((side) => {
            const entered = read[side];
            return (
              <Field
                key={side}
                size={8}
                label={words.keepOuts.sides[side]}
                fault={typed[side] !== '' && !entered.ok ? words.points.faults[entered.fault] : null}
                value={typed[side]}
                onChange={(event) => setTyped({ ...typed, [side]: event.target.value })}
              />
            );
          })}
        </div>
        <div>
          <button type="submit" disabled={!isReady}>
            {words.keepOuts.addButton}
          </button>
        </div>
      </form>
    </details>
  );
}

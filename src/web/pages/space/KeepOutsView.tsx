import { useState } from 'react';
import type { KeepOut } from '../../../domain/roof/structure.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { NumberField } from '../../parts/NumberField.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits, useUnitsAtStart } from '../../units/units-choice.ts';
import { lengthText, readLength } from '../../units/units.ts';
import { words } from '../../words.ts';
import { daysText } from './days-text.ts';
import { EffectChoice } from './EffectChoice.tsx';
import { OutlineForm } from './OutlineForm.tsx';
import { useStructureChange } from './use-structure-change.ts';

type Roof = { keepOuts: KeepOut[]; versions: Record<string, number> };
const REASONS = Object.keys(words.keepOuts.reasons) as (keyof typeof words.keepOuts.reasons)[];

export function KeepOutsView({ spaceId, structure, isEditable }: { spaceId: string; structure: object; isEditable: boolean }) {
  const roof = structure as Roof;
  const units = useUnits();
  const change = useStructureChange(spaceId);
  const [editedId, edit] = useState<string | null>(null);
  const edited = roof.keepOuts.find(({ id }) => id === editedId);
  const save = (item: KeepOut, then: () => void = () => undefined) =>
    change.mutate([{ kind: 'keep-outs', ifMatch: roof.versions[item.id] ?? null, item }], { onSuccess: then });
  return (
    <section className="stack">
      {change.isError && !edited && <ProblemPanel error={change.error} />}
      {isEditable && (
        <NewKeepOut onAdd={(item, then) => change.mutate([{ kind: 'keep-outs', ifMatch: null, item }], { onSuccess: then })} />
      )}
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
                <th scope="col">{words.keepOuts.days}</th>
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
                  <td data-of={words.keepOuts.days}>{daysText(one)}</td>
                  {isEditable && (
                    <td>
                      <button
                        type="button"
                        className="bare"
                        aria-label={words.keepOuts.outlineOf(one.label)}
                        onClick={() => {
                          change.reset(); // of what was tried before
                          edit(one.id);
                        }}
                      >
                        {words.keepOuts.outline}
                      </button>
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
      <Dialog title={words.keepOuts.outlineOf(edited?.label ?? '')} isOpen={edited !== undefined} onClose={() => edit(null)} holdsWork>
        {change.isError && <ProblemPanel error={change.error} />}
        {edited && <OutlineForm keepOut={edited} isBusy={change.isPending} onSave={(item) => save(item, () => edit(null))} />}
      </Dialog>
    </section>
  );
}

const SIDES = ['left', 'right', 'front', 'back', 'bottom', 'top'] as const;

function NewKeepOut({ onAdd }: { onAdd: (keepOut: KeepOut, then: () => void) => void }) {
  const units = useUnitsAtStart();
  const empty = { label: '', reason: 'duct' as KeepOut['reason'], left: '', right: '', front: '', back: '', bottom: '', top: '' };
  const [typed, setTyped] = useState(empty);
  const [wasTried, setTried] = useState(false);
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
          setTried(true);
          if (!isReady) return;
          const [x0, x1, y0, y1] = [value('left'), value('right'), value('front'), value('back')];
          onAdd(
            {
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
            },
            () => {
              setTried(false);
              setTyped(empty);
            },
          );
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
                label={`${words.keepOuts.sides[side]} [${words.units.lengthNames[units.length]}]`}
                fault={(wasTried || typed[side] !== '') && !entered.ok ? words.points.faults[entered.fault] : null}
                value={typed[side]}
                onChange={(event) => setTyped({ ...typed, [side]: event.target.value })}
              />
            );
          })}
        </div>
        <div>
          {wasTried && !isReady && <p className="fault">{words.keepOuts.readyFault}</p>}
          <button type="submit">{words.keepOuts.addButton}</button>
        </div>
      </form>
    </details>
  );
}

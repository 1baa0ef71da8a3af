import { useState } from 'react';
import type { Limit, RoofDraft } from '../../../domain/roof/structure.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { forceText, lengthText, massField, massText, readMass, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { EffectChoice } from './EffectChoice.tsx';
import { LimitForm } from './LimitForm.tsx';
import { useStructureChange } from './use-structure-change.ts';

type Roof = Pick<RoofDraft, 'nodes' | 'points' | 'members' | 'limits'> & { versions: Record<string, number> };

export function LimitsView({ spaceId, structure, isEditable }: { spaceId: string; structure: object; isEditable: boolean }) {
  const roof = structure as Roof; // the document's types and the domain's are the same shapes, told apart by the compiler alone
  const change = useStructureChange(spaceId);
  const [editedId, edit] = useState<string | null>(null);
  const edited = roof.limits.find(({ id }) => id === editedId);
  const save = (item: Limit, then: () => void = () => undefined) =>
    change.mutate([{ kind: 'limits', ifMatch: roof.versions[item.id] ?? null, item }], { onSuccess: then });
  if (roof.limits.length === 0 && !isEditable) return <p className="soft">{words.limits.empty}</p>;
  return (
    <section className="stack">
      {change.isError && !edited && <ProblemPanel error={change.error} />}
      {isEditable && (
        <details className="sheet">
          <summary>{words.limits.add}</summary>
          <LimitForm
            key={roof.limits.length}
            limit={null}
            roof={roof}
            isBusy={change.isPending}
            onSave={(item) => change.mutate([{ kind: 'limits', ifMatch: null, item }])}
          />
        </details>
      )}
      {roof.limits.length === 0 && <p className="soft">{words.limits.empty}</p>}
      <div className="scroll">
        <table className="fold">
          <thead>
            <tr>
              <th scope="col">{words.point.label}</th>
              <th scope="col">{words.limits.kind}</th>
              <th scope="col">{words.limits.of}</th>
              <th scope="col" className="number">
                {words.limits.capacity}
              </th>
              <th scope="col">{words.limits.basis}</th>
              <th scope="col">{words.keepOuts.effect}</th>
              {isEditable && (
                <th scope="col">
                  <span className="unseen">{words.points.remove}</span>
                </th>
              )}
            </tr>
          </thead>
          <tbody>
            {roof.limits.map((limit) => (
              <LimitRow
                key={limit.id}
                limit={limit}
                roof={roof}
                isEditable={isEditable}
                onEdit={() => {
                  change.reset(); // of what was tried before
                  edit(limit.id);
                }}
                onSave={(item) => save(item)}
                onRemove={() => change.mutate([{ kind: 'remove', of: 'limits', id: limit.id, ifMatch: roof.versions[limit.id] ?? 1 }])}
              />
            ))}
          </tbody>
        </table>
      </div>
      <Dialog title={words.limits.change(edited?.label ?? '')} isOpen={edited !== undefined} onClose={() => edit(null)} holdsWork>
        {change.isError && <ProblemPanel error={change.error} />}
        {edited && <LimitForm limit={edited} roof={roof} isBusy={change.isPending} onSave={(item) => save(item, () => edit(null))} />}
      </Dialog>
    </section>
  );
}

type RowProps = {
  limit: Limit;
  roof: Roof;
  isEditable: boolean;
  onEdit: () => void;
  onSave: (limit: Limit) => void;
  onRemove: () => void;
};

function LimitRow({ limit, roof, isEditable, onEdit, onSave, onRemove }: RowProps) {
  const units = useUnits();
  const { basis } = limit.terms;
  return (
    <tr>
      <th scope="row">{limit.label}</th>
      <td>{words.limits.kinds[limit.kind]}</td>
      <td data-of={words.limits.of}>{subjectText(limit, roof)}</td>
      <td className="number" data-of={words.limits.capacity}>
        {isEditable && 'maxKg' in limit ? (
          <>
            <CapacityField
              key={`${limit.maxKg} ${units.mass}`}
              limit={limit}
              units={units}
              onSave={(maxKg) => onSave({ ...limit, maxKg })}
            />
            {limit.kind === 'density' && <span className="soft">{words.limits.withinLength(lengthText(limit.windowM, units))}</span>}
          </>
        ) : (
          capacityText(limit, units)
        )}
      </td>
      <td data-of={words.limits.basis}>{basis === null ? words.notStated : `${basis.document}, ${basis.day}`}</td>
      <td>
        <EffectChoice label={limit.label} hard={limit.hard} onChange={isEditable ? (hard) => onSave({ ...limit, hard }) : null} />
      </td>
      {isEditable && (
        <td>
          <button type="button" className="bare" aria-label={words.limits.change(limit.label)} onClick={onEdit}>
            {words.limits.changeShort}
          </button>
          <button type="button" className="bare" aria-label={words.points.removeNamed(limit.label)} onClick={onRemove}>
            {words.points.remove}
          </button>
        </td>
      )}
    </tr>
  );
}

function CapacityField({
  limit,
  units,
  onSave,
}: {
  limit: Extract<Limit, { maxKg: number }>;
  units: Units;
  onSave: (maxKg: number) => void;
}) {
  const start = massField(limit.maxKg, units);
  const [text, setText] = useState(start);
  const read = readMass(text, units);
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        if (read.ok) onSave(read.value);
      }}
    >
      <Field
        label={words.points.cell(limit.label, words.limits.capacity)}
        isBare
        size={7}
        inputMode="decimal"
        value={text}
        unreadable={read.ok ? null : words.points.faults[read.fault]}
        onChange={(event) => setText(event.target.value)}
      />
      {units.mass}
      {text !== start && <button type="submit">{words.save}</button>}
    </form>
  );
}

function subjectText(limit: Limit, { points, members }: Roof): string {
  const label = (pointId: string) => points.find(({ id }) => id === pointId)?.label ?? pointId;
  switch (limit.kind) {
    case 'group':
    case 'count':
      return shortList(limit.pointIds.map(label));
    case 'weighted':
      return shortList(limit.weights.map(({ pointId, factor }) => `${Number(factor.toPrecision(6))} × ${label(pointId)}`));
    case 'spacing':
    case 'sideways':
    case 'density':
      return members.find(({ id }) => id === limit.memberId)?.label ?? limit.memberId;
    case 'areaDensity':
      return words.limits.area(limit.area.length);
  }
}

const FEW = 6;
const shortList = (texts: readonly string[]): string =>
  texts.length <= FEW ? texts.join(', ') : `${texts.slice(0, FEW - 1).join(', ')} … ${words.limits.andMore(texts.length - FEW + 1)}`;

function capacityText(limit: Limit, units: Units): string {
  switch (limit.kind) {
    case 'group':
    case 'weighted':
      return massText(limit.maxKg, units, 'capacity');
    case 'density':
      return words.limits.within(massText(limit.maxKg, units, 'capacity'), lengthText(limit.windowM, units));
    case 'count':
      return words.limits.loaded(limit.maxLoaded);
    case 'spacing':
      return words.limits.apart(lengthText(limit.minSpacingM, units));
    case 'sideways':
      return words.limits.sideways(
        ...([limit.acrossKn, limit.alongKn].map((kn) => (kn === null ? words.notStated : forceText(kn, units, 'capacity'))) as [
          string,
          string,
        ]),
      );
    case 'areaDensity':
      return words.limits.perSquare(massText(limit.maxKgPerM2, units, 'capacity'));
  }
}

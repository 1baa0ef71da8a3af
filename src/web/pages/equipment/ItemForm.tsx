import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, valueOf, versionTag } from '../../api/client.ts';
import { factName } from '../../parts/fact-text.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { RowsField } from '../../parts/RowsField.tsx';
import { useUnitsAtStart } from '../../units/units-choice.ts';
import type { Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { fieldsOf, ITEM_KINDS, type FactField, type ItemKind } from './item-fields.ts';
import type { Item } from './item.ts';
import { readItem, typedItem, type ReadItem, type TypedItem } from './item-typed.ts';

/** What is to be written: a new version of an entry, or an entry of its own, with the facts of another to begin with. */
export type Writing = { readonly versionOf: Item } | { readonly like: Item | null };
type Props = { writing: Writing; onDone: (id: string) => void; onClose: () => void };

/** One piece of equipment, fact by fact. */
export function ItemForm({ writing, onDone, onClose }: Props) {
  const units = useUnitsAtStart();
  const began = 'versionOf' in writing ? writing.versionOf : writing.like;
  const [kind, setKind] = useState<ItemKind>(began?.data.kind ?? 'hoist');
  const [typed, setTyped] = useState<TypedItem>(() => (began ? typedItem(began.data, units) : { texts: {}, rows: {} }));
  const [note, setNote] = useState('');
  const [wasTried, setTried] = useState(false);
  const read = readItem(kind, typed, began?.data ?? null, units);
  const queries = useQueryClient();
  const save = useMutation({
    mutationFn: (data: Item['data']) => {
      const body = { data, note };
      if (!('versionOf' in writing)) return valueOf(api.POST('/api/v1/equipment', { body }));
      const { id, version } = writing.versionOf;
      const params = { path: { equipmentId: id }, header: { 'if-match': versionTag(version) } };
      return valueOf(api.PUT('/api/v1/equipment/{equipmentId}', { params, body }));
    },
    onSuccess: async (item) => {
      await queries.invalidateQueries({ queryKey: ['equipment'] });
      onDone(item.id);
    },
  });
  const isVersion = 'versionOf' in writing;
  return (
    <form
      noValidate
      className="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (read.data !== null) save.mutate(read.data);
      }}
    >
      <h2>{isVersion ? words.equipment.writing(writing.versionOf.data.name, writing.versionOf.latest + 1) : words.equipment.entering}</h2>
      <p className="soft">{words.equipment.formText}</p>
      <div className="row top">
        {!isVersion && (
          <label className="field">
            <span>{words.equipment.newOf}</span>
            <select autoFocus value={kind} onChange={(event) => setKind(ITEM_KINDS.find((one) => one === event.target.value) ?? kind)}>
              {ITEM_KINDS.map((one) => (
                <option key={one} value={one}>
                  {words.equipment.kinds[one]}
                </option>
              ))}
            </select>
          </label>
        )}
        <Field
          label={factName('label')}
          autoFocus={isVersion}
          value={typed.texts.name ?? ''}
          fault={wasTried ? (read.faults.name ?? null) : null}
          onChange={(event) => setTyped({ ...typed, texts: { ...typed.texts, name: event.target.value } })}
        />
      </div>
      <Facts kind={kind} typed={typed} read={wasTried ? read : null} units={units} onChange={setTyped} />
      {wasTried &&
        read.others.map((text) => (
          <p key={text} className="fault">
            {text}
          </p>
        ))}
      <Field label={words.equipment.noteField} value={note} onChange={(event) => setNote(event.target.value)} />
      {save.isError && <ProblemPanel error={save.error} />}
      <div className="row">
        <button type="button" onClick={onClose}>
          {words.cancel}
        </button>
        <button type="submit" className="main" disabled={save.isPending}>
          {isVersion ? words.equipment.save : words.equipment.enter}
        </button>
      </div>
    </form>
  );
}

type FactsProps = {
  kind: ItemKind;
  typed: TypedItem;
  /** Null until the form was sent once. */
  read: ReadItem | null;
  units: Units;
  onChange: (typed: TypedItem) => void;
};

function Facts({ kind, typed, read, units, onChange }: FactsProps) {
  const fields = fieldsOf(kind, typed.texts.part ?? '');
  const set = (name: string, text: string) => onChange({ ...typed, texts: { ...typed.texts, [name]: text } });
  const unitOf = ({ fact, of }: FactField): string => {
    if (of === 'mass') return ` [${units.mass}]`;
    if (of === 'length' || of === 'place') return ` [${words.units.lengthNames[units.length]}]`;
    return of === 'plain' && /Kn$/.test(fact) && !factName(fact).includes('[') ? ' [kN]' : '';
  };
  const labelOf = (field: FactField) => `${factName(field.fact)}${unitOf(field)}`;
  const text = (field: FactField, name: string, label: string) => (
    <Field
      key={name}
      label={label}
      size={field.of === 'text' ? 30 : 10}
      {...(field.of === 'text' ? {} : { inputMode: 'decimal' as const })}
      value={typed.texts[name] ?? ''}
      fault={read?.faults[name] ?? null}
      onChange={(event) => set(name, event.target.value)}
    />
  );
  return (
    <>
      <div className="row top">
        {fields.map((field) => {
          const { fact } = field;
          if (field.of === 'rows') return null;
          if (field.of === 'place')
            return (['uM', 'vM'] as const).map((side) =>
              text(field, `${fact}.${side}`, words.points.cell(labelOf(field), words.equipment.placeOf[side])),
            );
          if (field.of === 'several')
            return (
              <fieldset key={fact} className="field">
                <legend>{factName(fact)}</legend>
                {Object.entries(field.choices).map(([one, name]) => {
                  const chosen = (typed.texts[fact] ?? '').split(' ').filter((part) => part !== '');
                  return (
                    <label key={one} className="row">
                      <input
                        type="checkbox"
                        checked={chosen.includes(one)}
                        onChange={(event) =>
                          set(fact, (event.target.checked ? [...chosen, one] : chosen.filter((part) => part !== one)).join(' '))
                        }
                      />
                      {name}
                    </label>
                  );
                })}
              </fieldset>
            );
          if (field.of !== 'choice' && field.of !== 'yesNo') return text(field, fact, labelOf(field));
          const choices = field.of === 'choice' ? field.choices : { yes: words.yes, no: words.no };
          return (
            <label key={fact} className="field">
              <span>{factName(fact)}</span>
              <select value={typed.texts[fact] ?? ''} onChange={(event) => set(fact, event.target.value)}>
                <option value="">{words.notStated}</option>
                {Object.entries(choices).map(([one, name]) => (
                  <option key={one} value={one}>
                    {name}
                  </option>
                ))}
              </select>
              {read?.faults[fact] && <small className="fault">{read.faults[fact]}</small>}
            </label>
          );
        })}
      </div>
      {fields.map(
        (field) =>
          field.of === 'rows' && (
            <RowsField
              key={`${kind} ${field.fact}`}
              title={factName(field.fact)}
              columns={field.columns}
              rows={typed.rows[field.fact] ?? []}
              units={units}
              addText={field.add}
              faultOf={(key, name) => read?.rowFault(field.fact, key, name) ?? null}
              onChange={(rows) => onChange({ ...typed, rows: { ...typed.rows, [field.fact]: rows } })}
            />
          ),
      )}
    </>
  );
}

import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { useSearchParams } from 'wouter';
import { equipmentQuery, useMe } from '../../api/queries.ts';
import { factName, factText } from '../../parts/fact-text.ts';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { EquipmentImport } from './EquipmentImport.tsx';
import type { Item } from './item.ts';
import type { Writing } from './ItemForm.tsx';
import { ItemPanel } from './ItemPanel.tsx';
import { Part, partQuery } from '../../parts/Part.tsx';
import { PageHeading } from '../../parts/PageHeading.tsx';

const ITEM_FORM = partQuery('item-form', async () => (await import('./ItemForm.tsx')).ItemForm);

type Kind = Item['data']['kind'];
const KINDS = ['hoist', 'part', 'cabinet', 'arrayFrame', 'truss', 'cable'] as const satisfies readonly Kind[];
const LIBRARIES = ['own', 'generic'] as const;
/** Enough to tell one from another in a list. */
const TELLING: Record<Kind, readonly string[]> = {
  hoist: ['wllKg', 'bodyKg', 'liftM'],
  part: ['wllKg', 'massKg', 'lengthM'],
  cabinet: ['massKg', 'heightM', 'depthM'],
  arrayFrame: ['massKg'],
  truss: ['selfKgPerM', 'saggingKnm', 'shearKn'],
  cable: ['kgPerM'],
};
const EDITORS = ['technicalManager', 'houseRigger', 'headRigger', 'systemDesigner'];
/** Shown at once, and with each press of the button below. */
const AT_ONCE = 100;

/** The catalogue: one's own equipment, and the generic library beside it. What is chosen stands in the address. */
export function EquipmentPage() {
  const me = useMe();
  const [search, setSearch] = useSearchParams();
  const kind = KINDS.find((one) => one === search.get('kind'));
  const library = LIBRARIES.find((one) => one === search.get('library'));
  const name = search.get('name') ?? '';
  const [writing, write] = useState<Writing | null>(null);
  const isRetired = search.get('retired') === 'true';
  const items = useQuery(
    equipmentQuery({
      ...(kind ? { kind } : {}),
      ...(library ? { library } : {}),
      ...(name === '' ? {} : { name }),
      ...(isRetired ? { retired: 'true' as const } : {}),
    }),
  );
  const set = (key: string, value: string | null) =>
    setSearch(
      (before) => {
        if (value === null || value === '') before.delete(key);
        else before.set(key, value);
        return before;
      },
      { replace: key === 'name' },
    );
  const own = me.data?.memberships.find(({ organisationId }) => organisationId === me.data.actingForOrganisationId);
  const mayEdit =
    own !== undefined && own.roles.some((role) => (own.kind === 'supplier' ? role === 'administrator' : EDITORS.includes(role)));
  const chosen = items.data?.items.find(({ id }) => id === search.get('item'));
  return (
    <div className="stack">
      <PageHeading name={words.equipment.title} />
      <p className="soft">{words.equipment.text}</p>
      {mayEdit && writing === null && (
        <div>
          <button type="button" onClick={() => write({ like: null })}>
            {words.equipment.byHand}
          </button>
        </div>
      )}
      {writing !== null && (
        <Part of={ITEM_FORM}>
          {(ItemForm) => (
            <ItemForm
              key={'versionOf' in writing ? writing.versionOf.id : `new ${writing.like?.id ?? ''}`}
              writing={writing}
              onDone={(id) => {
                write(null);
                set('item', id);
              }}
              onClose={() => write(null)}
            />
          )}
        </Part>
      )}
      {mayEdit && <EquipmentImport importId={search.get('import')} onOpen={(id) => set('import', id)} />}
      <div className="row">
        <Field label={words.equipment.name} value={name} onChange={(event) => set('name', event.target.value)} />
        <Choice label={words.equipment.kind} value={kind ?? ''} texts={words.equipment.kinds} onChange={(next) => set('kind', next)} />
        <Choice
          label={words.equipment.library}
          value={library ?? ''}
          texts={words.equipment.libraries}
          onChange={(next) => set('library', next)}
        />
        <label className="row">
          <input type="checkbox" checked={isRetired} onChange={(event) => set('retired', event.target.checked ? 'true' : null)} />
          {words.equipment.retired}
        </label>
      </div>
      {items.isPending && <Loading what={words.equipment.title} />}
      {items.isError && <ProblemPanel error={items.error} onRetry={() => void items.refetch()} />}
      {items.data && (
        <div className="two">
          <List items={items.data.items} chosenId={chosen?.id ?? null} onChoose={(id) => set('item', id)} />
          <section className="sheet stack" aria-live="polite">
            {chosen ? (
              <ItemPanel key={chosen.id} item={chosen} mayEdit={mayEdit} onWrite={write} />
            ) : (
              <p className="soft">{words.equipment.choose}</p>
            )}
          </section>
        </div>
      )}
    </div>
  );
}

function List({ items, chosenId, onChoose }: { items: readonly Item[]; chosenId: string | null; onChoose: (id: string) => void }) {
  const units = useUnits();
  const [shown, show] = useState(AT_ONCE);
  if (items.length === 0) return <p className="soft">{words.equipment.none}</p>;
  return (
    <div className="stack tight">
      <ul className="hangs" aria-label={words.equipment.title}>
        {items.slice(0, shown).map(({ id, data, library, latest }) => {
          const facts: Record<string, unknown> = data;
          return (
            <li key={id}>
              <button type="button" aria-pressed={id === chosenId} onClick={() => onChoose(id)}>
                <span className="left">
                  <strong>{data.name}</strong> <span className="soft">{words.equipment.kinds[data.kind]}</span>
                  <br />
                  <span className="soft">
                    {TELLING[data.kind].map((fact) => `${factName(fact)} ${factText(fact, facts[fact], units)}`).join(' · ')}
                  </span>
                </span>
                <span className="soft">{library === 'generic' ? words.equipment.libraries.generic : words.equipment.version(latest)}</span>
              </button>
            </li>
          );
        })}
      </ul>
      {items.length > shown && (
        <div>
          <button type="button" onClick={() => show(shown + AT_ONCE)}>
            {words.equipment.more(Math.min(AT_ONCE, items.length - shown), items.length)}
          </button>
        </div>
      )}
    </div>
  );
}

type ChoiceProps = { label: string; value: string; texts: Readonly<Record<string, string>>; onChange: (value: string) => void };

const Choice = ({ label, value, texts, onChange }: ChoiceProps) => (
  <label className="field">
    <span>{label}</span>
    <select value={value} onChange={(event) => onChange(event.target.value)}>
      <option value="">{words.equipment.all}</option>
      {Object.entries(texts).map(([key, text]) => (
        <option key={key} value={key}>
          {text}
        </option>
      ))}
    </select>
  </label>
);

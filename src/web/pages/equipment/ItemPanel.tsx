import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { Fragment, useState } from 'react';
import { api, valueOf, versionTag } from '../../api/client.ts';
import { equipmentChangesQuery, equipmentVersionsQuery } from '../../api/queries.ts';
import { dayText } from '../../parts/dates.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { factName, factText } from '../../parts/fact-text.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import type { Item } from './item.ts';
import type { Writing } from './ItemForm.tsx';

/** Everything that the latest version states, and the versions before it. */
export function ItemPanel({ item, mayEdit, onWrite }: { item: Item; mayEdit: boolean; onWrite: (writing: Writing) => void }) {
  const units = useUnits();
  const [isRetiring, setRetiring] = useState(false);
  const facts = Object.entries(item.data).filter(([fact]) => fact !== 'name' && fact !== 'kind');
  return (
    <>
      <div className="row apart">
        <h2>{item.data.name}</h2>
        {mayEdit && (
          <span className="row">
            {item.library === 'own' && item.retiredAt === null && (
              <>
                <button type="button" onClick={() => onWrite({ versionOf: item })}>
                  {words.equipment.write}
                </button>
                <button type="button" className="bare" onClick={() => setRetiring(true)}>
                  {words.equipment.retire}
                </button>
              </>
            )}
            <button type="button" className="bare" onClick={() => onWrite({ like: item })}>
              {words.equipment.oneLike}
            </button>
          </span>
        )}
      </div>
      {item.retiredAt !== null && <p>{words.equipment.retiredOn(dayText(item.retiredAt))}</p>}
      {item.note !== '' && (
        <p>
          <span className="soft">{words.equipment.note}</span> {item.note}
        </p>
      )}
      <dl className="facts">
        {facts.map(([fact, value]) => (
          <Fragment key={fact}>
            <dt>{factName(fact)}</dt>
            <dd>{factText(fact, value, units)}</dd>
          </Fragment>
        ))}
      </dl>
      <Versions item={item} />
      {isRetiring && <RetireDialog item={item} onClose={() => setRetiring(false)} />}
    </>
  );
}

function Versions({ item }: { item: Item }) {
  const versions = useQuery(equipmentVersionsQuery(item.id));
  if (versions.isPending) return <Loading what={words.equipment.versions} />;
  if (versions.isLoadingError) return <ProblemPanel error={versions.error} onRetry={() => void versions.refetch()} />;
  return (
    <div className="stack tight">
      <h3>{words.equipment.versions}</h3>
      <ol className="talk">
        {versions.data.items.map(({ number, author, createdAt, note, hash }) => (
          <li key={number} className="stack tight">
            <p>
              <strong>{words.equipment.version(number)}</strong>{' '}
              <span className="soft">
                {[createdAt === null ? '' : dayText(createdAt), author ?? ''].filter((part) => part !== '').join(', ')}{' '}
                <code>{hash.slice(0, 12)}</code>
              </span>
            </p>
            {note !== '' && <p>{note}</p>}
            {number > 1 && <VersionChanges itemId={item.id} number={number} />}
          </li>
        ))}
      </ol>
    </div>
  );
}

function VersionChanges({ itemId, number }: { itemId: string; number: number }) {
  const units = useUnits();
  const [isOpen, setOpen] = useState(false);
  const changes = useQuery({ ...equipmentChangesQuery(itemId, number - 1, number), enabled: isOpen });
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{words.equipment.whatChanged(number - 1)}</summary>
      {changes.isError && <ProblemPanel error={changes.error} />}
      <ul>
        {changes.data?.changes.map(({ fact, before, after }) => (
          <li key={fact}>
            {factName(fact)}: {factText(fact, before, units)} → <strong>{factText(fact, after, units)}</strong>
          </li>
        ))}
      </ul>
    </details>
  );
}

function RetireDialog({ item, onClose }: { item: Item; onClose: () => void }) {
  const queries = useQueryClient();
  const retire = useMutation({
    mutationFn: () =>
      valueOf(
        api.DELETE('/api/v1/equipment/{equipmentId}', {
          params: { path: { equipmentId: item.id }, header: { 'if-match': versionTag(item.version) } },
        }),
      ),
    onSuccess: async () => {
      await queries.invalidateQueries({ queryKey: ['equipment'] });
      onClose();
    },
  });
  return (
    <Dialog title={words.equipment.retireTitle(item.data.name)} isOpen onClose={onClose}>
      <p>{words.equipment.retireText}</p>
      {retire.isError && <ProblemPanel error={retire.error} />}
      <div className="row">
        <button type="button" autoFocus onClick={onClose}>
          {words.cancel}
        </button>
        <button type="button" className="main" disabled={retire.isPending} onClick={() => retire.mutate()}>
          {words.equipment.retire}
        </button>
      </div>
    </Dialog>
  );
}

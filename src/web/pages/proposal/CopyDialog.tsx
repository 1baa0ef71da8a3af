import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { Plan } from '../../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../../domain/roof/structure.ts';
import type { Proposal } from '../../api/client.ts';
import { neighboursQuery, planToCopyQuery, proposalsQuery, roofQuery } from '../../api/queries.ts';
import { dayText } from '../../parts/dates.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { copiedHangs, type Copied } from '../../plan-editing/copied-hangs.ts';
import { words } from '../../words.ts';

type Props = { proposal: Proposal; plan: Plan; roof: PublishedRoof; onCopy: (copied: Copied) => void; onClose: () => void };

/** Hangs of another show of the same production, one by one or all of them. */
export function CopyDialog({ proposal, plan, roof, onCopy, onClose }: Props) {
  const others = useQuery(proposalsQuery({ productionId: proposal.productionId }));
  const [chosenId, choose] = useState('');
  const list = others.data?.items.filter(({ id }) => id !== proposal.id) ?? [];
  const chosen = list.find(({ id }) => id === chosenId) ?? list[0];
  return (
    <Dialog title={words.copy.title} isOpen onClose={onClose}>
      {others.isPending && <Loading what={words.copy.shows} />}
      {others.isError && <ProblemPanel error={others.error} onRetry={() => void others.refetch()} />}
      {others.data && list.length === 0 && <p>{words.copy.none}</p>}
      {chosen && (
        <>
          <label className="field">
            <span>{words.copy.from}</span>
            <select value={chosen.id} onChange={(event) => choose(event.target.value)}>
              {list.map(({ id, showName, name, venueName, spaceName, from }) => (
                <option key={id} value={id}>{`${showName}: ${name}, ${venueName}, ${spaceName}, ${dayText(from)}`}</option>
              ))}
            </select>
          </label>
          <Choose
            key={chosen.id}
            fromId={chosen.id}
            fromSpaceId={chosen.spaceId}
            isSameRoof={chosen.spaceId === proposal.spaceId}
            onChosen={(from, hangIds) => onCopy(copiedHangs(plan, roof, from, hangIds, () => crypto.randomUUID()))}
          />
        </>
      )}
      <div>
        <button type="button" onClick={onClose}>
          {words.cancel}
        </button>
      </div>
    </Dialog>
  );
}

type ChooseProps = {
  fromId: string;
  fromSpaceId: string;
  isSameRoof: boolean;
  onChosen: (from: { plan: Plan; roof: PublishedRoof }, hangIds: ReadonlySet<string>) => void;
};

function Choose({ fromId, fromSpaceId, isSameRoof, onChosen }: ChooseProps) {
  const plan = useQuery(planToCopyQuery(fromId));
  const beside = useQuery(neighboursQuery(fromId));
  const roof = useQuery({ ...roofQuery(fromSpaceId, beside.data?.revision ?? 0), enabled: beside.data !== undefined });
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const failed = plan.error ?? beside.error ?? roof.error;
  if (failed) return <ProblemPanel error={failed} />;
  if (!plan.data || !roof.data) return <Loading what={words.proposal.plan} />;
  const from = { plan: plan.data.plan, roof: roof.data };
  const { hangs } = from.plan;
  if (hangs.length === 0) return <p className="soft">{words.copy.empty}</p>;
  const taken = new Set(hangs.map(({ id }) => id).filter((id) => !left.has(id)));
  const toggle = (id: string) => {
    const next = new Set(left);
    if (!next.delete(id)) next.add(id);
    setLeft(next);
  };
  return (
    <>
      <p className="soft">{isSameRoof ? words.copy.sameRoof : words.copy.otherRoof}</p>
      <fieldset className="sheet stack tight">
        <legend>{words.proposal.hangs}</legend>
        <label className="row">
          <input
            type="checkbox"
            checked={left.size === 0}
            onChange={() => setLeft(left.size === 0 ? new Set(hangs.map(({ id }) => id)) : new Set())}
          />
          <strong>{words.copy.all(hangs.length)}</strong>
        </label>
        {hangs.map(({ id, label, kind }) => (
          <label key={id} className="row">
            <input type="checkbox" checked={!left.has(id)} onChange={() => toggle(id)} />
            <span>
              {label} <span className="soft">{words.hang.kinds[kind]}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <div>
        <button type="button" className="main" disabled={taken.size === 0} onClick={() => onChosen(from, taken)}>
          {words.copy.act(taken.size)}
        </button>
      </div>
    </>
  );
}

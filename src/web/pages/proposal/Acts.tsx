import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Refused, api, valueOf, versionTag, type Proposal } from '../../api/client.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';

type Act = 'suspend' | 'lift' | 'withdraw' | 'strike';

/** What can be done with the whole of it. None of these is taken back by a click: each says what it does first. */
export function Acts({ proposal }: { proposal: Proposal }) {
  const [asked, ask] = useState<Act | null>(null);
  const { abilities, standingYes, suspended, state } = proposal;
  const isClosed = ['withdrawn', 'struck', 'drafting'].includes(state);
  const open: Act[] = [
    ...(abilities.suspend && standingYes !== null && !suspended ? (['suspend'] as const) : []),
    ...(abilities.liftSuspension && suspended ? (['lift'] as const) : []),
    ...(abilities.withdraw && !isClosed ? (['withdraw'] as const) : []),
    ...(abilities.strike && standingYes !== null ? (['strike'] as const) : []),
  ];
  return (
    <div className="row">
      {open.map((act) => (
        <button key={act} type="button" className={act === 'suspend' ? 'stop' : ''} onClick={() => ask(act)}>
          {words.acts[act].name}
        </button>
      ))}
      {proposal.submissions > 0 && (
        <a className="button" href={`/load-in/${proposal.id}`}>
          {words.proposal.loadIn}
        </a>
      )}
      {asked !== null && <ActDialog act={asked} proposal={proposal} onClose={() => ask(null)} />}
    </div>
  );
}

function ActDialog({ act, proposal, onClose }: { act: Act; proposal: Proposal; onClose: () => void }) {
  const [reason, setReason] = useState('');
  const queries = useQueryClient();
  const params = { path: { proposalId: proposal.id }, header: { 'if-match': versionTag(proposal.version) } };
  const done = useMutation({
    mutationFn: () => {
      switch (act) {
        case 'suspend':
          return valueOf(api.POST('/api/v1/proposals/{proposalId}/suspension', { params, body: { act: 'suspend', reason } }));
        case 'lift':
          return valueOf(api.POST('/api/v1/proposals/{proposalId}/suspension', { params, body: { act: 'lift' } }));
        case 'withdraw':
          return valueOf(api.POST('/api/v1/proposals/{proposalId}/withdrawal', { params, body: {} }));
        case 'strike':
          return valueOf(api.POST('/api/v1/proposals/{proposalId}/strike', { params, body: {} }));
      }
    },
    onSuccess: onClose,
    onSettled: () => queries.invalidateQueries({ queryKey: ['proposal', proposal.id] }),
  });
  const { title, text, name } = words.acts[act];
  return (
    <Dialog title={title(`${proposal.showName}: ${proposal.name}`)} isOpen onClose={onClose}>
      <p>{text}</p>
      {act === 'suspend' && <Field label={words.acts.reason} value={reason} required onChange={(event) => setReason(event.target.value)} />}
      {done.isError && <ProblemPanel error={done.error} />}
      {done.error instanceof Refused && done.error.is('version-moved-on') && <p>{words.acts.moved}</p>}
      <div className="row">
        <button type="button" autoFocus onClick={onClose}>
          {words.cancel}
        </button>
        <button
          type="button"
          className={act === 'suspend' ? 'stop' : 'main'}
          disabled={done.isPending || (act === 'suspend' && reason.trim() === '')}
          onClick={() => done.mutate()}
        >
          {name}
        </button>
      </div>
    </Dialog>
  );
}

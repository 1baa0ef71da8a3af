import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, valueOf, versionTag, type Proposal } from '../../api/client.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';

export function SubmitDialog({
  proposal,
  version,
  isOpen,
  onClose,
}: {
  proposal: Proposal;
  version: number;
  isOpen: boolean;
  onClose: () => void;
}) {
  const [note, setNote] = useState('');
  const queries = useQueryClient();
  const submit = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/proposals/{proposalId}/submission', {
          params: { path: { proposalId: proposal.id }, header: { 'if-match': versionTag(version) } },
          body: { note },
        }),
      ),
    onSuccess: async () => {
      await queries.invalidateQueries();
      onClose();
    },
  });
  return (
    <Dialog title={words.submit.title(proposal.venueName)} isOpen={isOpen} onClose={onClose}>
      <p>{words.submit.text}</p>
      <Field label={words.submit.note} value={note} onChange={(event) => setNote(event.target.value)} />
      {submit.isError && <ProblemPanel error={submit.error} />}
      <div className="row">
        <button type="button" onClick={onClose}>
          {words.cancel}
        </button>
        <button type="button" className="main" disabled={submit.isPending} onClick={() => submit.mutate()}>
          {words.submit.act}
        </button>
      </div>
    </Dialog>
  );
}

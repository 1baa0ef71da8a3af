import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, faultAt, Refused, valueOf, versionTag } from '../../api/client.ts';
import { endOfDay, localDay, YEAR_MS } from '../../parts/dates.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import type { Access, AccessAnswer } from './access.ts';

/** Letting in always has an end. What is typed stays when the service refuses. */
export function AnswerDialog({ answer, access, onClose }: { answer: AccessAnswer; access: Access; onClose: () => void }) {
  const [day, setDay] = useState(() => localDay(access.endsAt ?? new Date(Date.now() + YEAR_MS).toISOString()));
  const [reply, setReply] = useState('');
  const queries = useQueryClient();
  const until = endOfDay(day);
  const dayFault = until === null ? words.access.noDay : until.getTime() <= Date.now() ? words.access.pastDay : null;
  const decide = useMutation({
    mutationFn: () =>
      valueOf(
        api.PATCH('/api/v1/access/{accessId}', {
          params: { path: { accessId: access.id }, header: { 'if-match': versionTag(access.version) } },
          body: answer === 'grant' ? { answer, reply, until: until?.toISOString() ?? '' } : { answer, reply },
        }),
      ),
    onSuccess: async () => {
      await queries.invalidateQueries({ queryKey: ['access'] });
      onClose();
    },
  });
  const { title, text, act } = words.access.answers[answer];
  const hasMoved = decide.error instanceof Refused && decide.error.is('version-moved-on');
  return (
    <Dialog title={title(access.tourOrganisationName, access.spaceName)} isOpen onClose={onClose}>
      <p>{text}</p>
      {answer === 'grant' && (
        <Field
          label={words.access.until}
          type="date"
          value={day}
          fault={dayFault ?? faultAt(decide.error, '/until')}
          onChange={(event) => setDay(event.target.value)}
        />
      )}
      <Field
        label={words.access.replyLabel}
        value={reply}
        fault={faultAt(decide.error, '/reply')}
        onChange={(event) => setReply(event.target.value)}
      />
      {decide.isError && <ProblemPanel error={decide.error} />}
      {hasMoved && (
        <button type="button" onClick={() => void queries.invalidateQueries({ queryKey: ['access'] }).then(onClose)}>
          {words.access.readAnew}
        </button>
      )}
      <div className="row">
        <button type="button" autoFocus={answer !== 'grant'} onClick={onClose}>
          {words.cancel}
        </button>
        <button
          type="button"
          className="main"
          disabled={decide.isPending || (answer === 'grant' && dayFault !== null)}
          onClick={() => decide.mutate()}
        >
          {act}
        </button>
      </div>
    </Dialog>
  );
}

import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api, valueOf, versionTag, type Comment, type Proposal } from '../../api/client.ts';
import { commentsQuery } from '../../api/queries.ts';
import { momentText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';

/** What was said, pinned to what it is about. A blocking one stands in the way of a yes until it is resolved. */
export function TalkView({ proposal }: { proposal: Proposal }) {
  const comments = useQuery(commentsQuery(proposal.id));
  return (
    <section className="stack">
      {comments.isPending && <Loading what={words.proposal.views.talk} />}
      {comments.isError && <ProblemPanel error={comments.error} onRetry={() => void comments.refetch()} />}
      {comments.data?.items.length === 0 && <p className="soft">{words.talk.empty}</p>}
      <ul className="talk">
        {comments.data?.items.map((comment) => (
          <Said key={comment.id} comment={comment} proposal={proposal} />
        ))}
      </ul>
      {proposal.abilities.comment && <Say proposal={proposal} />}
    </section>
  );
}

function Said({ comment, proposal }: { comment: Comment; proposal: Proposal }) {
  const queries = useQueryClient();
  const resolve = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/proposals/{proposalId}/comments/{commentId}/resolution', {
          params: { path: { proposalId: proposal.id, commentId: comment.id }, header: { 'if-match': versionTag(comment.version) } },
          body: {},
        }),
      ),
    onSettled: () => queries.invalidateQueries(),
  });
  const isOpen = comment.resolvedAt === null;
  return (
    <li className={comment.blocking && isOpen ? 'blocking' : ''}>
      <p className="soft">
        {comment.authorName}, {momentText(comment.createdAt)} {comment.pinKind !== 'proposal' && `· ${words.talk.pins[comment.pinKind]}`}{' '}
        {comment.blocking && <strong>{isOpen ? words.talk.blocks : words.talk.blocked}</strong>}
      </p>
      <p>{comment.text}</p>
      {!isOpen && comment.resolvedAt !== null && <p className="soft">{words.talk.resolved(momentText(comment.resolvedAt))}</p>}
      {isOpen && comment.blocking && proposal.abilities.comment && (
        <button type="button" disabled={resolve.isPending} onClick={() => resolve.mutate()}>
          {words.talk.resolve}
        </button>
      )}
      {resolve.isError && <ProblemPanel error={resolve.error} />}
    </li>
  );
}

type Pin = { readonly pinKind: 'hang' | 'point' | 'check'; readonly pinId: string; readonly name: string };

/** `pins`: what it can be about, beside the whole proposal. */
export function Say({ proposal, pins = [] }: { proposal: Proposal; pins?: readonly Pin[] }) {
  const [text, setText] = useState('');
  const [pinnedTo, setPinnedTo] = useState('');
  const [blocking, setBlocking] = useState(false);
  const pin = pins.find(({ pinId }) => pinId === pinnedTo);
  const queries = useQueryClient();
  const say = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/proposals/{proposalId}/comments', {
          params: { path: { proposalId: proposal.id } },
          body: { pinKind: pin?.pinKind ?? 'proposal', pinId: pin?.pinId ?? null, text, blocking },
        }),
      ),
    onSuccess: async () => {
      setText('');
      setPinnedTo('');
      setBlocking(false);
      await queries.invalidateQueries();
    },
  });
  return (
    <form
      className="sheet stack tight"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim() !== '') say.mutate();
      }}
    >
      <label className="field">
        <span>{words.talk.say}</span>
        <textarea rows={3} value={text} onChange={(event) => setText(event.target.value)} />
      </label>
      {pins.length > 0 && (
        <label className="field">
          <span>{words.review.pinnedTo}</span>
          <select value={pinnedTo} onChange={(event) => setPinnedTo(event.target.value)}>
            <option value="">{words.review.wholeProposal}</option>
            {pins.map(({ pinId, name }) => (
              <option key={pinId} value={pinId}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      <label className="row">
        <input type="checkbox" checked={blocking} onChange={(event) => setBlocking(event.target.checked)} /> {words.talk.blocking}
      </label>
      {say.isError && <ProblemPanel error={say.error} />}
      <div>
        <button type="submit" disabled={text.trim() === '' || say.isPending}>
          {words.talk.send}
        </button>
      </div>
    </form>
  );
}

import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useMemo, useState } from 'react';
import { Link } from 'wouter';
import { changesBetween } from '../../../domain/roof/changes.ts';
import { publishRoof } from '../../../domain/roof/publish.ts';
import type { RoofDraft } from '../../../domain/roof/structure.ts';
import { api, valueOf, versionTag, type Space, type Structure } from '../../api/client.ts';
import { proposalsQuery, roofQuery } from '../../api/queries.ts';
import { Dialog } from '../../parts/Dialog.tsx';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { StateMark } from '../../parts/StateMark.tsx';
import { words } from '../../words.ts';
import { ChangeList } from './ChangeList.tsx';
import { ReAssessment } from './ReAssessment.tsx';

/** Publishing cannot be taken back: what changes, and whom it may touch, is read first. */
export function PublishDialog({
  space,
  structure,
  isOpen,
  onClose,
}: {
  space: Space;
  structure: Structure;
  isOpen: boolean;
  onClose: () => void;
}) {
  const [note, setNote] = useState('');
  const queries = useQueryClient();
  const publish = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/spaces/{spaceId}/revisions', {
          params: { path: { spaceId: space.id }, header: { 'if-match': versionTag(structure.version) } },
          body: { note },
        }),
      ),
    onSuccess: () => queries.invalidateQueries(),
  });
  const next = (space.latestRevision ?? 0) + 1;
  return (
    <Dialog title={words.publish.title(next)} isOpen={isOpen} onClose={onClose}>
      {publish.isSuccess ? (
        <>
          <p>{words.publish.done(publish.data.revision.number)}</p>
          {publish.data.toCheck > 0 && (
            <>
              <p>{words.publish.toCheck(publish.data.toCheck)}</p>
              <ReAssessment spaceId={space.id} revision={publish.data.revision.number} />
            </>
          )}
          <div>
            <button type="button" onClick={() => (publish.reset(), setNote(''), onClose())}>
              {words.close}
            </button>
          </div>
        </>
      ) : (
        <>
          {structure.faults.length > 0 && (
            <div className="notice bad">
              <strong>{words.space.faults(structure.faults.length)}</strong>
              <ul>
                {structure.faults.slice(0, 20).map(({ pointer, message }) => (
                  <li key={pointer + message}>
                    <code>{pointer}</code> {message}
                  </li>
                ))}
              </ul>
            </div>
          )}
          {isOpen && structure.faults.length === 0 && <Affected space={space} structure={structure} />}
          {isOpen && space.latestRevision !== null && structure.policy !== null && (
            <Changed space={space} structure={structure} number={space.latestRevision} />
          )}
          {structure.remarks.length > 0 && <p className="soft">{words.space.remarks(structure.remarks.length)}</p>}
          <Field label={words.publish.note} value={note} onChange={(event) => setNote(event.target.value)} />
          {publish.isError && <ProblemPanel error={publish.error} />}
          <div className="row">
            <button type="button" onClick={onClose}>
              {words.cancel}
            </button>
            <button
              type="button"
              className="main"
              disabled={structure.faults.length > 0 || publish.isPending}
              onClick={() => publish.mutate()}
            >
              {words.publish.act(next)}
            </button>
          </div>
        </>
      )}
    </Dialog>
  );
}

/** Whose yes this would touch, worked out by the service on the roof as it would be, before anything is published. */
function Affected({ space, structure }: { space: Space; structure: Structure }) {
  const preview = useQuery({
    queryKey: ['publishing', space.id, structure.version],
    queryFn: () => valueOf(api.POST('/api/v1/spaces/{spaceId}/revision-preview', { params: { path: { spaceId: space.id } } })),
  });
  const proposals = useQuery(proposalsQuery({ spaceId: space.id }));
  if (preview.isError) return <ProblemPanel error={preview.error} />;
  if (!preview.data) return <p className="soft">{words.publish.working}</p>;
  const { agreements } = preview.data;
  const nameOf = (id: string) => {
    const one = proposals.data?.items.find((proposal) => proposal.id === id);
    return one ? `${one.productionName}, ${one.showName}: ${one.name}` : words.publish.unnamed;
  };
  return (
    <section className="stack tight">
      <h3>{words.publish.affected(agreements.length)}</h3>
      <ul className="plain">
        {agreements.map(({ proposalId, outcome, verdict, failing }) => (
          <li key={proposalId} className="row">
            <Link href={`/proposals/${proposalId}`}>{nameOf(proposalId)}</Link>
            <StateMark mark={verdict ?? 'unknown'} />
            <span className="soft">
              {words.publish.would[outcome]} {failing.length > 0 && words.publish.failing(failing.length)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

const ANY_INSTANT = '2000-01-01T00:00:00.000Z';

function Changed({ space, structure, number }: { space: Space; structure: Structure; number: number }) {
  const latest = useQuery(roofQuery(space.id, number));
  const changes = useMemo(() => {
    if (!latest.data) return null;
    const known = latest.data.dayStarts;
    // Put in the order of a publication by the rule that the service publishes by. When days begin is the service's to say.
    const next = publishRoof(structure as RoofDraft, (day) => known[day] ?? ANY_INSTANT);
    return next.ok ? changesBetween(latest.data, { ...next.value, dayStarts: known }) : null;
  }, [latest.data, structure]);
  if (changes === null) return null;
  return (
    <section className="stack tight">
      <h3>{words.publish.changed(number)}</h3>
      <ChangeList changes={changes} />
    </section>
  );
}

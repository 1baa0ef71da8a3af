import { useQuery } from '@tanstack/react-query';
import { useSearchParams } from 'wouter';
import type { RoofChanges } from '../../../domain/roof/changes.ts';
import { changesQuery, revisionsQuery } from '../../api/queries.ts';
import { momentText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { ChangeList } from './ChangeList.tsx';
import { ReAssessment } from './ReAssessment.tsx';

/** Every publication, and any two of them beside each other; which two stands in the address. */
export function RevisionsView({ spaceId, isOwn = false }: { spaceId: string; isOwn?: boolean }) {
  const revisions = useQuery(revisionsQuery(spaceId));
  const [search, setSearch] = useSearchParams();
  const numbers = (revisions.data?.items ?? []).map(({ number }) => number);
  const known = (name: string, otherwise: number | undefined) => numbers.find((number) => String(number) === search.get(name)) ?? otherwise;
  const [from, to] = [known('from', numbers[1]), known('to', numbers[0])];
  const choose = (name: string) => (event: { target: { value: string } }) =>
    setSearch((before) => {
      before.set(name, event.target.value);
      return before;
    });
  if (revisions.isPending) return <Loading what={words.space.views.revisions} />;
  if (revisions.isLoadingError) return <ProblemPanel error={revisions.error} onRetry={() => void revisions.refetch()} />;
  if (numbers.length === 0) return <p className="soft">{words.space.noRevision}</p>;
  return (
    <section className="stack">
      {isOwn && <ReAssessment spaceId={spaceId} revision={numbers[0]!} />}
      <div className="scroll">
        <table className="fold">
          <thead>
            <tr>
              <th scope="col" className="number">
                {words.changes.number}
              </th>
              <th scope="col">{words.changes.note}</th>
              <th scope="col">{words.changes.by}</th>
              <th scope="col">{words.changes.hash}</th>
            </tr>
          </thead>
          <tbody>
            {revisions.data.items.map((one) => (
              <tr key={one.number}>
                <th scope="row" className="number">
                  {one.number}
                </th>
                <td>{one.note || words.none}</td>
                <td>
                  {one.authorName}, {momentText(one.publishedAt)}
                </td>
                <td>
                  <code>{one.sha256.slice(0, 12)}</code>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {from !== undefined && to !== undefined && (
        <section className="sheet stack">
          <div className="row">
            <h2>{words.changes.compare}</h2>
            {(['from', 'to'] as const).map((name) => (
              <label key={name} className="row">
                <span>{words.changes[name]}</span>
                <select value={name === 'from' ? from : to} onChange={choose(name)}>
                  {numbers.map((number) => (
                    <option key={number}>{number}</option>
                  ))}
                </select>
              </label>
            ))}
          </div>
          <Compared spaceId={spaceId} from={from} to={to} />
        </section>
      )}
    </section>
  );
}

function Compared({ spaceId, from, to }: { spaceId: string; from: number; to: number }) {
  const changes = useQuery(changesQuery(spaceId, from, to));
  if (changes.isPending) return <Loading what={words.changes.compare} />;
  if (changes.isLoadingError) return <ProblemPanel error={changes.error} onRetry={() => void changes.refetch()} />;
  return <ChangeList changes={changes.data as RoofChanges} />;
}

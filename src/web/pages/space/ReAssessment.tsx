import { useQuery } from '@tanstack/react-query';
import { reAssessmentQuery } from '../../api/queries.ts';
import { words } from '../../words.ts';

/** How far the looking again at agreements has come that a publication began; asked for until it is done. */
export function ReAssessment({ spaceId, revision }: { spaceId: string; revision: number }) {
  const found = useQuery(reAssessmentQuery(spaceId, revision));
  if (!found.data || found.data.total === 0) return null;
  const { done, total, doesNot } = found.data;
  return (
    <p role="status" className="row">
      <progress max={total} value={done} aria-label={words.publish.progress(done, total)} />
      {words.publish.progress(done, total)} {doesNot > 0 && <strong>{words.publish.doesNot(doesNot)}</strong>}
    </p>
  );
}

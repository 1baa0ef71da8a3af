import { Refused, Unreachable } from '../api/client.ts';
import { words } from '../words.ts';

/** What went wrong, in the service's own words, and what to do. What was typed stays where it is. */
export function ProblemPanel({ error, onRetry }: { error: unknown; onRetry?: () => void }) {
  const { title, detail, faults } = told(error);
  return (
    <div role="alert" className="notice bad stack tight">
      <strong>{title}</strong>
      {detail !== '' && <p>{detail}</p>}
      {faults.length > 0 && (
        <ul>
          {faults.map(({ pointer, message }) => (
            <li key={`${pointer} ${message}`}>
              {message} <span className="soft">{pointer}</span>
            </li>
          ))}
        </ul>
      )}
      {onRetry && (
        <div>
          <button type="button" onClick={onRetry}>
            {words.again}
          </button>
        </div>
      )}
    </div>
  );
}

function told(error: unknown): { title: string; detail: string; faults: { pointer: string; message: string }[] } {
  if (error instanceof Refused) {
    const { title, detail, errors, why } = error.problem;
    // What the API says of a schema is for those who write requests.
    if (error.is('invalid-request')) return { ...words.invalid, faults: errors ?? [] };
    return { title, detail: typeof why === 'string' ? `${detail} ${why}` : detail, faults: errors ?? [] };
  }
  if (error instanceof Unreachable) return { title: words.noAnswer.title, detail: words.noAnswer.detail, faults: [] };
  return { title: words.bug.title, detail: error instanceof Error ? error.message : '', faults: [] };
}

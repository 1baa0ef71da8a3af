import { words } from '../words.ts';
import { useLive, useOpenHere } from './live.ts';
import type { OpenSubject } from './live-connection.ts';

/** Who else has this open, as they come and go. */
export function WhoIsHere({ kind, id }: OpenSubject) {
  useOpenHere(kind, id);
  const { people } = useLive();
  if (people.length === 0) return null;
  return (
    <p className="soft">
      {words.live.here}{' '}
      <strong>
        {people.map(({ name, own, you }) => (you ? words.live.youElsewhere : own ? name : words.live.ofOthers(name))).join(', ')}
      </strong>
    </p>
  );
}

import { clockText } from '../parts/dates.ts';
import { words } from '../words.ts';
import { useLive } from './live.ts';

/** Says when the page does not hear of changes any more, and when it does again. */
export function LiveNotice() {
  const { state, lostAt } = useLive();
  return (
    <div role="status" className="live">
      {state === 'lost' && <div className="notice bad">{words.live.lost(lostAt === null ? '' : clockText(lostAt))}</div>}
      {state === 'back' && <div className="notice">{words.live.back}</div>}
    </div>
  );
}

import { Link } from 'wouter';
import { shortDayText } from '../../parts/dates.ts';
import { StateMark } from '../../parts/StateMark.tsx';
import { words } from '../../words.ts';
import type { BoardRow } from './board-rows.ts';
import { BLOCKERS, LATE, lateShows, type LateShow } from './late-shows.ts';

const MARKS = { suspended: 'suspended', tour: 'waiting', venue: 'waiting' } as const;

/** What is late and who has to act, above all else and close together: sixty shows fit on one screen. */
export function LateShows({ rows, nowMs }: { rows: readonly BoardRow[]; nowMs: number }) {
  const late = lateShows(rows, nowMs);
  const shown = BLOCKERS.filter((blocker) => late[blocker].length > 0);
  return (
    <section className="sheet stack tight late" aria-label={words.late.title}>
      <p className="row">
        <strong>{shown.length === 0 ? words.late.none : words.late.title}</strong> <span className="soft">{words.late.rule(LATE)}</span>
      </p>
      {shown.map((blocker) => (
        <div key={blocker} className="stack tight">
          <h2>
            <StateMark mark={MARKS[blocker]} word={words.late.by[blocker]} /> <span className="soft">{late[blocker].length}</span>
          </h2>
          <ul>
            {late[blocker].map((one) => (
              <Late key={`${one.row.showId} ${one.row.proposal?.id}`} late={one} />
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

function Late({ late: { row, daysLeft, waitedDays } }: { late: LateShow }) {
  const name = `${shortDayText(row.from)} ${row.showName}`;
  return (
    <li>
      <Link href={row.proposal ? `/proposals/${row.proposal.id}` : `/spaces/${row.spaceId}`}>{name}</Link>
      <span className="soft">
        {row.venueName} · {words.late.left(daysLeft)}
        {waitedDays === null ? ` · ${words.tour.noProposal}` : waitedDays > 0 && ` · ${words.late.waited(waitedDays)}`}
      </span>
    </li>
  );
}

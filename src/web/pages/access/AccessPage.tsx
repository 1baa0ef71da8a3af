import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'wouter';
import { accessQuery, useMe } from '../../api/queries.ts';
import { dayText } from '../../parts/dates.ts';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { StateMark, type Mark } from '../../parts/StateMark.tsx';
import { words } from '../../words.ts';
import type { Access, AccessAnswer } from './access.ts';
import { AnswerDialog } from './AnswerDialog.tsx';
import { PageHeading } from '../../parts/PageHeading.tsx';

type Shown = Access['state'] | 'over';
const MARK: Record<Shown, Mark> = { requested: 'waiting', granted: 'fits', refused: 'over', ended: 'unknown', over: 'unknown' };

/** A grant whose end has passed says so, whether or not anybody has ended it. */
const shownState = ({ state, endsAt }: Access, now: number): Shown =>
  state === 'granted' && endsAt !== null && new Date(endsAt).getTime() <= now ? 'over' : state;

/** Who may read which roof: for the venue what was asked of it, for a production what it has asked for. */
export function AccessPage() {
  const me = useMe();
  const access = useQuery(accessQuery());
  const [asked, ask] = useState<{ answer: AccessAnswer; access: Access } | null>(null);
  const [now] = useState(() => Date.now());
  if (access.isPending || !me.data) return <Loading what={words.access.title} />;
  if (access.isLoadingError) return <ProblemPanel error={access.error} onRetry={() => void access.refetch()} />;
  const own = me.data.memberships.find(({ organisationId }) => organisationId === me.data.actingForOrganisationId);
  const isVenue = own?.kind === 'venueOperator';
  const isHost = isVenue && own.roles.some((role) => role === 'technicalManager' || role === 'decider');
  const all = access.data.items;
  const of = (...states: Shown[]) => all.filter((one) => states.includes(shownState(one, now)));
  const groups = [
    [isVenue ? words.access.toAnswer : words.access.waiting, of('requested')],
    [isVenue ? words.access.letIn : words.access.mayRead, of('granted')],
    [words.access.past, of('refused', 'ended', 'over')],
  ] as const;
  return (
    <div className="stack">
      <PageHeading name={words.access.title} />
      <p className="soft">{isVenue ? words.access.venueText : words.access.tourText}</p>
      {all.length === 0 && (
        <p>
          {isVenue ? words.access.noneAsked : words.access.noneOwn} {!isVenue && <Link href="/venues">{words.places.venues}</Link>}
        </p>
      )}
      {groups.map(
        ([title, items]) =>
          items.length > 0 && (
            <section key={title} className="stack tight">
              <h2>
                {title} <span className="soft">{items.length}</span>
              </h2>
              <ul className="hangs">
                {items.map((one) => (
                  <Entry key={one.id} access={one} shown={shownState(one, now)} isVenue={isVenue} isHost={isHost} onAsk={ask} />
                ))}
              </ul>
            </section>
          ),
      )}
      {asked !== null && <AnswerDialog answer={asked.answer} access={asked.access} onClose={() => ask(null)} />}
    </div>
  );
}

type EntryProps = {
  access: Access;
  shown: Shown;
  isVenue: boolean;
  isHost: boolean;
  onAsk: (asked: { answer: AccessAnswer; access: Access }) => void;
};

function Entry({ access, shown, isVenue, isHost, onAsk }: EntryProps) {
  const who = isVenue ? access.tourOrganisationName : `${access.venueName}, ${access.spaceName}`;
  const answers: AccessAnswer[] = !isHost
    ? []
    : shown === 'requested'
      ? ['grant', 'refuse']
      : shown === 'granted'
        ? ['grant', 'end']
        : ['grant'];
  return (
    <li className="sheet stack tight">
      <div className="row apart">
        <span className="row">
          <StateMark mark={MARK[shown]} word={words.access.states[shown]} />
          <strong>{shown === 'granted' && !isVenue ? <Link href={`/spaces/${access.spaceId}`}>{who}</Link> : who}</strong>
          {isVenue && <span className="soft">{`${access.venueName}, ${access.spaceName}`}</span>}
        </span>
        <span className="row">
          {answers.map((answer) => (
            <button
              key={answer}
              type="button"
              className="inline"
              aria-label={`${nameOf(answer, shown)}: ${who}`}
              onClick={() => onAsk({ answer, access })}
            >
              {nameOf(answer, shown)}
            </button>
          ))}
        </span>
      </div>
      <p className="soft">
        {words.access.askedOn(dayText(access.requestedAt))}
        {access.decidedAt !== null && ` · ${words.access.answeredOn(dayText(access.decidedAt))}`}
        {access.endsAt !== null && ` · ${words.access.endsOn(dayText(access.endsAt))}`}
      </p>
      {access.note !== '' && (
        <p>
          <span className="soft">{words.access.note}</span> {access.note}
        </p>
      )}
      {access.reply !== '' && (
        <p>
          <span className="soft">{words.access.reply}</span> {access.reply}
        </p>
      )}
    </li>
  );
}

const nameOf = (answer: AccessAnswer, shown: Shown): string =>
  answer === 'grant' && shown === 'granted' ? words.access.otherEnd : words.access.answers[answer].act;

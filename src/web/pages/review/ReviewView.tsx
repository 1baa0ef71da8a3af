import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import type { Check } from '../../../domain/assessment/assessment.ts';
import type { Hang } from '../../../domain/plan/plan.ts';
import { CAUTIONS } from '../../../domain/assessment/cautions.ts';
import { api, Refused, valueOf, versionTag, type Decision, type Proposal } from '../../api/client.ts';
import { assessmentQuery, decisionsQuery, frozenPlanQuery, roofQuery } from '../../api/queries.ts';
import { Against, CheckList, VerdictMark } from '../../checks/CheckList.tsx';
import { labelsOf, type Labels } from '../../checks/labels.ts';
import { toTick } from '../../checks/order.ts';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { momentText } from '../../parts/dates.ts';
import { words } from '../../words.ts';
import { Say } from '../proposal/TalkView.tsx';
import { ChangedHangs } from './ChangedHangs.tsx';

/** What changed first, then every check that needs a person, then the answer. */
export function ReviewView({ proposal }: { proposal: Proposal }) {
  const kept = useQuery(assessmentQuery(proposal.id));
  const frozen = useQuery(frozenPlanQuery(proposal.id, proposal.submissions));
  const roof = useQuery({ ...roofQuery(proposal.spaceId, kept.data?.revision ?? 1), enabled: kept.data !== undefined });
  const said = useQuery({ ...decisionsQuery(proposal.id), enabled: proposal.mayAgreeAnew });
  const failed = kept.error ?? frozen.error ?? roof.error ?? said.error;
  // What was read stays, and with it what is ticked and typed, where it cannot be read again.
  if (!kept.data || !frozen.data || !roof.data || (proposal.mayAgreeAnew && !said.data))
    return failed ? <ProblemPanel error={failed} /> : <Loading what={words.review.title} />;
  const { assessment } = kept.data;
  const checks = assessment.outcome.checks as Check[];
  const plan = frozen.data.plan;
  const labels = labelsOf(roof.data, plan.hangs);
  const held: HeldTicks = new Map(kept.data.heldTicks.map((tick) => [tick.checkId, tick]));
  return (
    <>
      {proposal.submissions > 1 && <ChangedHangs proposal={proposal} plan={plan} checks={checks} labels={labels} />}
      <Decide
        key={assessment.assessmentHash}
        proposal={proposal}
        assessmentHash={assessment.assessmentHash}
        checks={checks}
        held={held}
        labels={labels}
        agreedWith={conditionsOf(said.data?.items ?? [])}
        hangs={plan.hangs}
      />
      <OwnCautions cautions={assessment.cautions} />
      <details>
        <summary>
          <strong>{words.review.all(checks.length)}</strong>
        </summary>
        <CheckList checks={checks} labels={labels} />
      </details>
      {assessment.withSubmitted.length > 0 && (
        <section className="stack">
          <h2>{words.review.withSubmitted}</h2>
          <CheckList checks={assessment.withSubmitted} labels={labels} />
        </section>
      )}
    </>
  );
}

/** What this plan adds to the cautions that go with every assessment. */
function OwnCautions({ cautions }: { cautions: readonly string[] }) {
  const own = cautions.filter((text) => !CAUTIONS.includes(text));
  return own.length === 0 ? null : (
    <ul className="cautions">
      {own.map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
}

/** The reader's own earlier ticks that still hold, by check. */
type HeldTicks = ReadonlyMap<string, { readonly submission: number; readonly tickedAt: string }>;

/**
 * Each number beside its limit; where an answer can be given, with a box that says that it was read. What was ticked before and is the
 * same in all it covers has no box: it says when it was ticked, and stands after what is to be ticked now.
 */
function Ticks({
  checks,
  labels,
  held,
  ticked,
  onToggle,
}: {
  checks: readonly Check[];
  labels: Labels;
  held: HeldTicks;
  ticked: ReadonlySet<string>;
  onToggle: ((checkId: string) => void) | null;
}) {
  const ordered = [...checks.filter(({ id }) => !held.has(id)), ...checks.filter(({ id }) => held.has(id))];
  return (
    <ul className="ticks">
      {ordered.map((check) => {
        const before = held.get(check.id);
        const isAsked = onToggle !== null && before === undefined;
        const Line = isAsked ? 'label' : 'div';
        return (
          <li key={check.id}>
            <Line className="line">
              {isAsked && <input type="checkbox" checked={ticked.has(check.id)} onChange={() => onToggle(check.id)} />}
              {!isAsked && <span aria-hidden="true">{before && words.review.heldMark}</span>}
              <VerdictMark check={check} />
              <span className="what">
                <strong>{labels.of(check)}</strong> {words.checks.kinds[check.kind]}{' '}
                {check.reason && <span className="soft">{check.reason.text}</span>}
                {before && <span className="held">{words.review.held(before.submission, momentText(before.tickedAt))}</span>}
              </span>
              <Against check={check} />
            </Line>
          </li>
        );
      })}
    </ul>
  );
}

type Answer = 'agree' | 'agreeWithConditions' | 'ask' | 'decline';
type Condition = { pinKind: Decision['conditions'][number]['pinKind']; pinId: string | null; text: string };

/** Of the yes that was given last, by all who gave it. */
function conditionsOf(decisions: readonly Decision[]): Condition[] {
  const yeses = decisions.filter(({ answer }) => answer === 'agree' || answer === 'agreeWithConditions');
  const all = yeses.filter(({ assessmentHash }) => assessmentHash === yeses.at(-1)?.assessmentHash).flatMap(({ conditions }) => conditions);
  return all.filter(({ text, pinId }, at) => all.findIndex((other) => other.text === text && other.pinId === pinId) === at);
}

function Decide({
  proposal,
  assessmentHash,
  checks,
  held,
  labels,
  agreedWith,
  hangs,
}: {
  proposal: Proposal;
  assessmentHash: string;
  checks: readonly Check[];
  held: HeldTicks;
  labels: Labels;
  /** What to ask for again where it is agreed anew. */
  agreedWith: readonly Condition[];
  hangs: readonly Hang[];
}) {
  const { stopping, toKnow } = toTick(checks);
  const wanted = [...stopping, ...toKnow];
  const [ticked, setTicked] = useState<ReadonlySet<string>>(new Set()); // nothing is ticked beforehand
  const [conditions, setConditions] = useState<readonly Condition[]>(agreedWith);
  const [typed, setTyped] = useState({ condition: '', pin: '' });
  const [reason, setReason] = useState('');
  const [capacity, setCapacity] = useState<'decider' | 'engineer'>('decider');
  const queries = useQueryClient();
  const decide = useMutation({
    mutationFn: (answer: Answer) =>
      valueOf(
        api.POST('/api/v1/proposals/{proposalId}/review', {
          params: { path: { proposalId: proposal.id }, header: { 'if-match': versionTag(proposal.version) } },
          body: {
            answer,
            capacity,
            assessmentHash,
            ticks: wanted
              .filter(({ id }) => ticked.has(id))
              .map(({ id, demand, capacity: limit }) => ({ checkId: id, demand, capacity: limit })),
            conditions: answer === 'agreeWithConditions' ? [...conditions] : [],
            reason,
            validUntil: null,
          },
        }),
      ),
    onSettled: () => queries.invalidateQueries(),
  });
  const anew = proposal.mayAgreeAnew;
  const isOpen = proposal.abilities.review && (anew || ['submitted', 'questions', 'declined'].includes(proposal.state));
  const pins = [
    ...wanted.map((check) => ({
      pinKind: 'check' as const,
      pinId: check.id,
      name: `${labels.of(check)}, ${words.checks.kinds[check.kind]}`,
    })),
    ...hangs.map(({ id, label }) => ({ pinKind: 'hang' as const, pinId: id, name: label })),
  ];
  const stillHeld = wanted.filter(({ id }) => held.has(id)).length;
  const missing = wanted.filter(({ id }) => !held.has(id) && !ticked.has(id)).length;
  const isTyping = typed.condition.trim() !== ''; // it would be left out of a yes
  const toggle = (id: string) => {
    const next = new Set(ticked);
    if (!next.delete(id)) next.add(id);
    setTicked(next);
  };
  return (
    <section className="sheet stack">
      <h2>{wanted.length === 0 ? words.review.nothingToTick : words.review.toTick(wanted.length)}</h2>
      {anew && isOpen && <p>{words.review.anew}</p>}
      {isOpen && stillHeld > 0 && <p>{words.review.heldCount(stillHeld, wanted.length - stillHeld)}</p>}
      {wanted.length > 0 && (
        <div className="stack tight">
          <h3>{stopping.length === 0 ? words.review.nothingStops : words.review.stopping(stopping.length)}</h3>
          {stopping.length > 0 && <p className="soft">{words.review.stoppingWhy}</p>}
          <Ticks checks={stopping} labels={labels} held={held} ticked={ticked} onToggle={isOpen ? toggle : null} />
        </div>
      )}
      {toKnow.length > 0 && (
        <div className="stack tight">
          <h3>{words.review.toKnow(toKnow.length)}</h3>
          <p className="soft">{words.review.toKnowWhy}</p>
          <Ticks checks={toKnow} labels={labels} held={held} ticked={ticked} onToggle={isOpen ? toggle : null} />
        </div>
      )}
      {isOpen && (
        <>
          <form
            className="row"
            onSubmit={(event) => {
              event.preventDefault();
              const text = typed.condition.trim();
              if (text === '') return;
              setConditions([
                ...conditions,
                { pinKind: typed.pin === '' ? 'proposal' : 'check', pinId: typed.pin === '' ? null : typed.pin, text },
              ]);
              setTyped({ condition: '', pin: '' });
            }}
          >
            <Field
              label={words.review.condition}
              size={32}
              required
              value={typed.condition}
              onChange={(event) => setTyped({ ...typed, condition: event.target.value })}
            />
            <label className="field">
              <span>{words.review.pinnedTo}</span>
              <select value={typed.pin} onChange={(event) => setTyped({ ...typed, pin: event.target.value })}>
                <option value="">{words.review.wholeProposal}</option>
                {wanted.map((check) => (
                  <option key={check.id} value={check.id}>{`${labels.of(check)}, ${words.checks.kinds[check.kind]}`}</option>
                ))}
              </select>
            </label>
            <button type="submit">{words.review.addCondition}</button>
          </form>
          {conditions.length > 0 && (
            <ul>
              {conditions.map(({ text }, index) => (
                <li key={index} className="row">
                  {text}
                  <button
                    type="button"
                    className="bare"
                    aria-label={words.points.removeNamed(text)}
                    onClick={() => setConditions(conditions.filter((_, at) => at !== index))}
                  >
                    {words.points.remove}
                  </button>
                </li>
              ))}
            </ul>
          )}
          <label className="field">
            <span>{words.review.reason}</span>
            <textarea rows={2} value={reason} onChange={(event) => setReason(event.target.value)} />
          </label>
          <fieldset className="switch">
            <legend className="unseen">{words.review.capacity}</legend>
            {(['decider', 'engineer'] as const).map((one) => (
              <label key={one}>
                <input type="radio" name="capacity" checked={capacity === one} onChange={() => setCapacity(one)} />
                {words.review.capacities[one]}
              </label>
            ))}
          </fieldset>
          {missing > 0 && <p className="soft">{words.review.stillToTick(missing)}</p>}
          {isTyping && <p className="soft">{words.review.conditionNotAdded}</p>}
          {!anew && reason.trim() === '' && <p className="soft">{words.review.reasonWanted}</p>}
          <div className="row">
            <button
              type="button"
              className="main"
              disabled={missing > 0 || isTyping || conditions.length > 0 || decide.isPending}
              onClick={() => decide.mutate('agree')}
            >
              {words.review.agree}
            </button>
            <button
              type="button"
              className="main"
              disabled={missing > 0 || isTyping || conditions.length === 0 || decide.isPending}
              onClick={() => decide.mutate('agreeWithConditions')}
            >
              {words.review.agreeIf}
            </button>
            {!anew && (
              <>
                <button type="button" disabled={reason.trim() === '' || decide.isPending} onClick={() => decide.mutate('ask')}>
                  {words.review.ask}
                </button>
                <button type="button" disabled={reason.trim() === '' || decide.isPending} onClick={() => decide.mutate('decline')}>
                  {words.review.decline}
                </button>
              </>
            )}
          </div>
          <p className="soft">
            {words.review.covers} <code>{assessmentHash.slice(0, 16)}</code>
          </p>
        </>
      )}
      {decide.isError && <ProblemPanel error={decide.error} />}
      {decide.error instanceof Refused && decide.error.is('requirements-unmet') && (
        <ul>
          {proposal.requirements
            .filter(({ met }) => met === 'unmet')
            .map(({ id, words: said }) => (
              <li key={id}>{said}</li>
            ))}
        </ul>
      )}
      {decide.error instanceof Refused && decide.error.is('roof-moved') && <p>{words.review.moved}</p>}
      {proposal.abilities.comment && (
        <details>
          <summary>{words.review.comment}</summary>
          <Say proposal={proposal} pins={pins} />
        </details>
      )}
    </section>
  );
}

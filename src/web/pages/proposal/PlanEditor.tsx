import { keepPreviousData, useQuery } from '@tanstack/react-query';
import { useEffect, useMemo, useRef, useState, type KeyboardEvent } from 'react';
import type { Check } from '../../../domain/assessment/assessment.ts';
import type { Plan } from '../../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../../domain/roof/structure.ts';
import { Refused, type Proposal } from '../../api/client.ts';
import { neighboursQuery, planQuery, roofQuery } from '../../api/queries.ts';
import { CheckList } from '../../checks/CheckList.tsx';
import { labelsOf } from '../../checks/labels.ts';
import { advisedAgainst, isStopping } from '../../checks/order.ts';
import type { LiveScene } from '../../live/live-checks.ts';
import { useLiveChecks } from '../../live/use-live-checks.ts';
import { clockText } from '../../parts/dates.ts';
import { stopsAtUnreadable } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { Part, partQuery } from '../../parts/Part.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { StateMark } from '../../parts/StateMark.tsx';
import { useHistory } from '../../parts/use-history.ts';
import type { Copied } from '../../plan-editing/copied-hangs.ts';
import { toldOf } from '../../plan-editing/hang-told.ts';
import { HangForm } from '../../plan-editing/HangForm.tsx';
import { hangUnder, memberAzimuthDeg, type NewKind } from '../../plan-editing/new-hang.ts';
import { useUnits } from '../../units/units-choice.ts';
import { massText, utilisationText } from '../../units/units.ts';
import { words } from '../../words.ts';
import { Alternatives } from './Alternatives.tsx';
import { PlanConflict } from './PlanConflict.tsx';
import { useSavedPlan } from './use-saved-plan.ts';
import { PlanBesideHang } from './PlanBesideHang.tsx';
import { SubmitDialog } from './SubmitDialog.tsx';
import { useAlternatives, withAlternative, type Alternative } from './use-alternatives.ts';

const COPY_DIALOG = partQuery('copy-dialog', async () => (await import('./CopyDialog.tsx')).CopyDialog);
const PLAN_TABLE = partQuery('plan-table', async () => (await import('./PlanTable.tsx')).PlanTable);
const NO_CHECKS: readonly Check[] = [];

/** The working plan of the touring side. */
export function PlanEditor({ proposal }: { proposal: Proposal }) {
  const plan = useQuery(planQuery(proposal.id));
  const beside = useQuery(neighboursQuery(proposal.id));
  // Where the roof or the neighbours move, or cannot be read again, the editor stays: what is drawn in it is nowhere else.
  const roof = useQuery({
    ...roofQuery(proposal.spaceId, beside.data?.revision ?? 0),
    enabled: beside.data !== undefined,
    placeholderData: keepPreviousData,
  });
  const failed = plan.error ?? beside.error ?? roof.error;
  const scene = useMemo<LiveScene | null>(
    () =>
      roof.data && beside.data ? { roof: roof.data, show: beside.data, neighbours: beside.data.neighbours, asOf: beside.data.asOf } : null,
    [roof.data, beside.data],
  );
  if (!plan.data || !roof.data || scene === null) {
    if (failed) return <ProblemPanel error={failed} onRetry={() => void Promise.all([plan.refetch(), beside.refetch()])} />;
    return <Loading what={words.proposal.plan} />;
  }
  return (
    <div className="stack">
      <NewerRoof key={proposal.id} revision={beside.data?.revision ?? 0} />
      <Editor key={`editor ${proposal.id}`} proposal={proposal} start={plan.data} roof={roof.data} scene={scene} />
    </div>
  );
}

/** Told while the plan is open: what is drawn stays, and is checked on the roof as it is now. */
function NewerRoof({ revision }: { revision: number }) {
  const [known, setKnown] = useState(revision);
  if (revision === known) return null;
  return (
    <div role="status" className="notice row apart">
      {words.live.newerRoof(revision)}
      <button type="button" onClick={() => setKnown(revision)}>
        {words.live.understood}
      </button>
    </div>
  );
}

type EditorProps = {
  proposal: Proposal;
  start: Parameters<typeof useSavedPlan>[1];
  roof: PublishedRoof;
  scene: LiveScene;
};

function Editor({ proposal, start, roof, scene }: EditorProps) {
  const history = useHistory(start.plan);
  const plan = history.now;
  const alternatives = useAlternatives(proposal.id);
  const [shownWay, showWay] = useState<{ of: Plan; way: Alternative } | null>(null);
  const way = shownWay?.of === plan ? shownWay.way : null; // of any other plan it says nothing
  const shown = useMemo(() => (way === null ? plan : withAlternative(plan, way)), [plan, way]);
  const live = useLiveChecks(scene, shown);
  const { saved, save, changedThere, lookThere, theirs, settle, needsAgain } = useSavedPlan(proposal.id, start);
  const [hangId, setHang] = useState<string | null>(start.plan.hangs[0]?.id ?? null);
  const [pointId, setPoint] = useState<string | null>(null);
  const [isSubmitting, setSubmitting] = useState(false);
  const isChanged = plan !== saved.plan;
  useWarnBeforeLeaving(isChanged);
  const [isCopying, setCopying] = useState(false);
  const [rebound, setRebound] = useState(0);
  const [isBringing, setBringing] = useState(false);
  const copy = (copied: Copied) => {
    history.change(copied.plan);
    setRebound(copied.rebound);
    setHang(copied.hangIds[0] ?? hangId);
    setCopying(false);
  };
  const add = (kind: NewKind) => {
    const point = roof.points.find(({ id }) => id === pointId);
    if (!point) return;
    const label = `${words.hang.newNames[kind]} ${plan.hangs.length + 1}`;
    const made = hangUnder(plan, point, kind, label, () => crypto.randomUUID(), memberAzimuthDeg(roof, point));
    history.change(made.plan);
    setHang(made.hangId);
  };
  // What was pressed is gone afterwards: the focus stays in the editor, where undo hears its keys.
  const editor = useRef<HTMLDivElement>(null);
  const showPlan = () => {
    showWay(null);
    editor.current?.focus({ preventScroll: true });
  };
  const take = (taken: Alternative) => {
    history.change(withAlternative(plan, taken));
    showPlan();
    setHang(taken.changes[0]?.hang.id ?? hangId);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z') return;
    event.preventDefault();
    if (event.shiftKey) history.redo();
    else history.undo();
  };
  const hang = plan.hangs.find(({ id }) => id === hangId);
  const checks = live.answer?.kind === 'worked-out' ? live.answer.checks : NO_CHECKS;
  const labels = useMemo(() => labelsOf(roof, shown.hangs), [roof, shown.hangs]);
  const point = roof.points.find(({ id }) => id === pointId);
  const mayEdit = proposal.abilities.editPlan;
  const needsUnagree = save.error instanceof Refused && save.error.is('needs-unagree');
  return (
    <div className="stack" ref={editor} tabIndex={-1} onKeyDown={onKeyDown}>
      <div className="row apart">
        <Summary live={live} isBehind={live.of?.plan !== shown || live.of.scene !== scene} />
        {mayEdit && (
          <div className="row">
            <button type="button" disabled={!history.canUndo} onClick={history.undo}>
              {words.undo}
            </button>
            <button type="button" disabled={!history.canRedo} onClick={history.redo}>
              {words.redo}
            </button>
            <button
              type="button"
              disabled={!isChanged || save.isPending || theirs !== null}
              onClick={() => stopsAtUnreadable(editor.current) || save.mutate({ plan, unagree: false })}
            >
              {isChanged ? words.proposal.savePlan : words.proposal.planSaved}
            </button>
            {proposal.abilities.submit && (
              <button
                type="button"
                className="main"
                disabled={isChanged || plan.hangs.length === 0}
                onClick={() => stopsAtUnreadable(editor.current) || setSubmitting(true)}
              >
                {words.submit.act}
              </button>
            )}
          </div>
        )}
      </div>
      {needsUnagree && (
        <div role="alert" className="notice bad row apart">
          {words.proposal.unagree}
          <button type="button" onClick={() => save.mutate({ plan, unagree: true })}>
            {words.proposal.unagreeAct}
          </button>
        </div>
      )}
      {changedThere && (
        <div role="status" className="toast notice row">
          {words.live.planChanged(changedThere.actorName, clockText(new Date(changedThere.at)))}
          <button type="button" onClick={() => void lookThere(isChanged).then((there) => there && history.change(there))}>
            {words.live.show}
          </button>
        </div>
      )}
      {theirs && (
        <PlanConflict
          base={saved.plan}
          mine={plan}
          theirs={theirs.plan}
          points={roof.points}
          onTogether={(together) => {
            settle(theirs);
            history.change(together);
          }}
        />
      )}
      {needsAgain && (
        <div role="alert" className="notice">
          {words.proposal.movedOn}
        </div>
      )}
      {save.isError && !needsUnagree && !needsAgain && !theirs && <ProblemPanel error={save.error} />}
      {live.answer?.kind === 'faulty' && (
        <div role="status" className="notice bad">
          <strong>{words.proposal.faulty(live.answer.faults.length)}</strong>
          <ul>
            {live.answer.faults.slice(0, 10).map(({ pointer, message }) => (
              <li key={pointer + message}>
                {message} <code className="soft">{pointer}</code>
              </li>
            ))}
          </ul>
        </div>
      )}
      {live.failed !== null && <div className="notice bad">{words.proposal.noLive}</div>}
      {way !== null && (
        <div role="status" className="notice row apart">
          {words.alternatives.showing}
          <span className="row">
            <button type="button" onClick={showPlan}>
              {words.alternatives.backToPlan}
            </button>
            <button type="button" className="main" onClick={() => take(way)}>
              {words.alternatives.take}
            </button>
          </span>
        </div>
      )}
      <PlanBesideHang
        roof={roof}
        hangs={shown.hangs}
        {...(way === null ? {} : { before: plan.hangs })}
        checks={checks}
        loads={live.answer?.kind === 'worked-out' ? live.answer.loads : []}
        selectedHangId={hangId}
        selectedPointId={pointId}
        onSelectHang={setHang}
        onSelectPoint={(id) => {
          setPoint(id);
          const there = plan.hangs.find(({ pickUps }) =>
            pickUps.some(({ attachment }) => attachment.kind === 'direct' && attachment.pointId === id),
          );
          if (there) setHang(there.id);
        }}
        above={
          mayEdit && (
            <div className="row">
              {point ? (
                <>
                  <button type="button" onClick={() => add('single')}>
                    {words.hang.addSingle(point.label)}
                  </button>
                  <button type="button" onClick={() => add('array')}>
                    {words.hang.addArray(point.label)}
                  </button>
                  <button type="button" onClick={() => add('truss')}>
                    {words.hang.addTruss(point.label)}
                  </button>
                  <button type="button" onClick={() => add('trussFrame')}>
                    {words.hang.addFrame(point.label)}
                  </button>
                </>
              ) : (
                <p className="soft">{words.hang.pickPoint}</p>
              )}
              <button type="button" onClick={() => setCopying(true)}>
                {words.copy.open}
              </button>
              <button type="button" onClick={() => setBringing(true)}>
                {words.planTable.open}
              </button>
              {rebound > 0 && isChanged && <p role="status">{words.copy.rebound(rebound)}</p>}
            </div>
          )
        }
        beside={
          mayEdit && (
            <>
              {plan.hangs.length > 0 && (
                <Alternatives
                  alternatives={alternatives}
                  plan={plan}
                  roof={roof}
                  hangId={hangId}
                  isSaved={!isChanged && changedThere === null && theirs === null}
                  shown={way}
                  onShow={(next) => {
                    showWay(next && { of: plan, way: next });
                    if (next?.changes[0] && !next.changes.some((change) => change.hang.id === hangId)) setHang(next.changes[0].hang.id);
                  }}
                  onTake={take}
                />
              )}
              {hang && way === null && (
                <HangForm
                  key={hang.id}
                  plan={plan}
                  hang={hang}
                  points={roof.points}
                  told={toldOf(live.answer, live.of?.plan ?? null, hang.id)}
                  onChange={history.change}
                  onRemove={() => {
                    history.change({ ...plan, hangs: plan.hangs.filter(({ id }) => id !== hang.id) });
                    setHang(null);
                    editor.current?.focus({ preventScroll: true });
                  }}
                />
              )}
            </>
          )
        }
      />
      <h2>{words.checks.title}</h2>
      <p className="soft">{words.proposal.liveNote}</p>
      <CheckList checks={checks} labels={labels} />
      {isCopying && (
        <Part of={COPY_DIALOG}>
          {(CopyDialog) => <CopyDialog proposal={proposal} plan={plan} roof={roof} onCopy={copy} onClose={() => setCopying(false)} />}
        </Part>
      )}
      {isBringing && (
        <Part of={PLAN_TABLE}>
          {(PlanTable) => (
            <PlanTable
              plan={plan}
              points={roof.points}
              onTake={(taken) => {
                history.change(taken);
                setHang(taken.hangs.at(-1)?.id ?? hangId);
                setBringing(false);
              }}
              onClose={() => setBringing(false)}
            />
          )}
        </Part>
      )}
      <SubmitDialog proposal={proposal} version={saved.version} isOpen={isSubmitting} onClose={() => setSubmitting(false)} />
    </div>
  );
}

/** @param isBehind  the answer is of the plan before the last edit: after a moment its verdict is not shown any more */
function Summary({ live, isBehind }: { live: ReturnType<typeof useLiveChecks>; isBehind: boolean }) {
  const units = useUnits();
  const { answer } = live;
  if (answer?.kind !== 'worked-out') return <p className="soft">{words.proposal.working}</p>;
  const { worstUtilisation, massKg } = answer.totals;
  const stopping = answer.checks.filter(isStopping).length;
  const advised = advisedAgainst(answer.checks);
  return (
    <p role="status" className={isBehind ? 'row behind' : 'row'}>
      {isBehind && <span className="late soft">{words.proposal.working}</span>}
      <StateMark mark={answer.verdict} />
      <span>
        {words.proposal.totals(massText(massKg, units, 'load'), worstUtilisation === null ? words.none : utilisationText(worstUtilisation))}
      </span>
      {stopping > 0 && <strong>{words.checks.stopping(stopping)}</strong>}
      {advised > 0 && <span className="soft">{words.checks.advised(advised)}</span>}
    </p>
  );
}

function useWarnBeforeLeaving(isChanged: boolean): void {
  useEffect(() => {
    if (!isChanged) return;
    const warn = (event: BeforeUnloadEvent) => event.preventDefault();
    addEventListener('beforeunload', warn);
    return () => removeEventListener('beforeunload', warn);
  }, [isChanged]);
}

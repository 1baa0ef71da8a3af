import { useEffect, useRef, useState } from 'react';
import { pointIdsOf } from '../../../domain/plan/attachment-places.ts';
import type { Plan } from '../../../domain/plan/plan.ts';
import type { PublishedRoof } from '../../../domain/roof/structure.ts';
import { faultAt } from '../../api/client.ts';
import { NumberField } from '../../parts/NumberField.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { StateMark } from '../../parts/StateMark.tsx';
import { useUnits } from '../../units/units-choice.ts';
import { lengthText, utilisationText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import {
  isAsItIs,
  USUAL_BOUNDS,
  wantsSteels,
  type Alternative,
  type Bounds,
  type SoFar,
  type useAlternatives,
} from './use-alternatives.ts';

type Props = {
  alternatives: ReturnType<typeof useAlternatives>;
  plan: Plan;
  roof: PublishedRoof;
  hangId: string | null;
  isSaved: boolean;
  shown: Alternative | null;
  onShow: (alternative: Alternative | null) => void;
  onTake: (alternative: Alternative) => void;
};

/** Other ways to hang it, found by the service: each can be looked at on the plan, and taken in one act. */
export function Alternatives({ alternatives, plan, roof, hangId, isSaved, shown, onShow, onTake }: Props) {
  const { search, look, forget } = alternatives;
  const [bounds, setBounds] = useState(USUAL_BOUNDS);
  const section = useRef<HTMLElement>(null);
  const wasLooking = useRef(false);
  useEffect(() => {
    // The button to cancel is gone with the search: whoever was on it is put where the answer stands.
    if (wasLooking.current && search.state !== 'looking' && document.activeElement === document.body)
      section.current?.focus({ preventScroll: true });
    wasLooking.current = search.state === 'looking';
  }, [search.state]);
  const hang = plan.hangs.find(({ id }) => id === hangId);
  const start = (of: string | null) => {
    onShow(null);
    void look(of, bounds, plan);
  };
  const end = () => {
    onShow(null);
    forget();
  };
  return (
    <section ref={section} tabIndex={-1} className="stack tight" aria-label={words.alternatives.title}>
      <h3>{words.alternatives.title}</h3>
      {search.state === 'looking' ? (
        <Looking {...search} onCancel={end} />
      ) : (
        <>
          <div className="row">
            {hang && (
              <button type="button" disabled={!isSaved} onClick={() => start(hang.id)}>
                {words.alternatives.forHang(hang.label)}
              </button>
            )}
            <button type="button" disabled={!isSaved || plan.hangs.length === 0} onClick={() => start(null)}>
              {words.alternatives.forAll}
            </button>
          </div>
          {!isSaved && search.state !== 'found' && <p className="soft">{words.alternatives.saveFirst}</p>}
          <BoundsForm bounds={bounds} error={search.state === 'failed' ? search.error : null} onChange={setBounds} />
        </>
      )}
      {search.state === 'failed' && <ProblemPanel error={search.error} />}
      {search.state === 'found' && search.of !== plan && <p className="soft">{words.alternatives.planMoved}</p>}
      {search.state === 'found' && search.of === plan && (
        <div className="stack tight" role="status">
          <p>
            {words.alternatives.found(search.found.results.length)}{' '}
            <span className="soft">
              {words.alternatives.searched(search.found.considered, search.found.ruledOut, search.found.assessed)}{' '}
              {search.found.stoppedEarly.length > 0 && words.alternatives.early}
            </span>
          </p>
          {search.found.stillOver.length > 0 && (
            <p className="fault">{words.alternatives.stillOver(search.found.stillOver.map((id) => labelOf(plan, id)).join(', '))}</p>
          )}
          <ol className="talk">
            {search.found.results.map((result, index) => (
              <Result
                key={index}
                number={index + 1}
                result={result}
                roof={roof}
                isShown={result === shown}
                isAsItIs={isAsItIs(plan, result)}
                onShow={() => onShow(result === shown ? null : result)}
                onTake={() => onTake(result)}
              />
            ))}
          </ol>
          <ul className="cautions">
            {search.found.cautions.slice(-2).map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </div>
      )}
    </section>
  );
}

const labelOf = (plan: Plan, hangId: string): string => plan.hangs.find(({ id }) => id === hangId)?.label ?? words.checks.gone;

type ResultProps = {
  number: number;
  result: Alternative;
  roof: PublishedRoof;
  isShown: boolean;
  isAsItIs: boolean;
  onShow: () => void;
  onTake: () => void;
};

function Result({ number, result, roof, isShown, isAsItIs: isAsNow, onShow, onTake }: ResultProps) {
  const units = useUnits();
  const isWanting = result.changes.some(({ hang }) => wantsSteels(hang));
  const name = words.alternatives.number(number);
  return (
    <li className="stack tight">
      {result.changes.map((change) => (
        <p key={change.hang.id} className="row">
          <StateMark mark={change.verdict} />
          <span>
            <strong>{change.hang.label}</strong> {wayText(change, roof, units)}
          </span>
          {change.utilisation !== null && <span className="soft">{utilisationText(change.utilisation)}</span>}
        </p>
      ))}
      {isWanting && <p>{words.alternatives.steels}</p>}
      <p className="row soft">
        {words.alternatives.wholePlan} <StateMark mark={result.planVerdict} />
      </p>
      {isAsNow ? (
        <p className="soft">{words.alternatives.asItIs}</p>
      ) : (
        <div className="row">
          <button type="button" aria-pressed={isShown} aria-label={`${words.alternatives.show}: ${name}`} onClick={onShow}>
            {words.alternatives.show}
          </button>
          <button type="button" aria-label={`${words.alternatives.take}: ${name}`} onClick={onTake}>
            {words.alternatives.take}
          </button>
        </div>
      )}
    </li>
  );
}

function wayText({ hang, moved, holesSwapped }: Alternative['changes'][number], roof: PublishedRoof, units: Units): string {
  const label = (pointId: string) => roof.points.find(({ id }) => id === pointId)?.label ?? words.checks.gone;
  const ways = hang.pickUps.map(({ attachment }) => {
    if (attachment.kind === 'bridle') return words.alternatives.bridle(attachment.legs.map(({ pointId }) => label(pointId)).join(', '));
    if (attachment.kind === 'tiers') return words.alternatives.tiers(pointIdsOf(attachment).map(label).join(', '));
    return attachment.kind === 'direct' ? words.alternatives.straight(label(attachment.pointId)) : words.alternatives.underAnother;
  });
  const isMoved = moved.xM !== 0 || moved.yM !== 0;
  return [
    ...ways,
    ...(isMoved ? [words.alternatives.moved(lengthText(moved.xM, units), lengthText(moved.yM, units))] : []),
    ...(holesSwapped ? [words.alternatives.holes] : []),
  ].join('; ');
}

/** How far it is, and how long it has taken of the time that it may take. */
function Looking({ sinceMs, budgetS, soFar, onCancel }: { sinceMs: number; budgetS: number; soFar: SoFar | null; onCancel: () => void }) {
  const [seconds, setSeconds] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => setSeconds(Math.floor((Date.now() - sinceMs) / 1000)), 500);
    return () => clearInterval(timer);
  }, [sinceMs]);
  return (
    <div className="stack tight">
      <p role="status">{words.alternatives.looking}</p>
      {soFar && <p className="soft">{words.alternatives.soFar(soFar.hang, soFar.ofHangs, soFar.assessed)}</p>}
      <div className="row">
        <progress aria-label={words.alternatives.looking} max={budgetS} value={Math.min(seconds, budgetS)} />
        <span className="soft">{words.alternatives.time(seconds, budgetS)}</span>
        <button type="button" autoFocus onClick={onCancel}>
          {words.cancel}
        </button>
      </div>
    </div>
  );
}

function BoundsForm({ bounds, error, onChange }: { bounds: Bounds; error: unknown; onChange: (bounds: Bounds) => void }) {
  const set = (change: Partial<Bounds>) => onChange({ ...bounds, ...change });
  const { shift } = bounds;
  return (
    <details>
      <summary>{words.alternatives.where}</summary>
      <div className="row">
        <NumberField
          label={words.alternatives.within}
          of="length"
          value={bounds.withinM}
          fault={faultAt(error, '/withinM')}
          onChange={(withinM) => withinM !== null && set({ withinM })}
        />
        <NumberField
          label={words.alternatives.shiftX}
          of="length"
          value={shift.xM}
          fault={faultAt(error, '/shift/xM')}
          onChange={(xM) => xM !== null && set({ shift: { ...shift, xM } })}
        />
        <NumberField
          label={words.alternatives.shiftY}
          of="length"
          value={shift.yM}
          fault={faultAt(error, '/shift/yM')}
          onChange={(yM) => yM !== null && set({ shift: { ...shift, yM } })}
        />
        <label className="field">
          <span>{words.alternatives.legs}</span>
          <select
            value={bounds.mostLegs}
            onChange={({ target: { value } }) => set({ mostLegs: value === '1' ? 1 : value === '2' ? 2 : 3 })}
          >
            {words.alternatives.legChoices.map((text, index) => (
              <option key={text} value={index + 1}>
                {text}
              </option>
            ))}
          </select>
        </label>
        <NumberField
          label={words.alternatives.legAngle}
          of="plain"
          value={bounds.legAngleDeg}
          fault={faultAt(error, '/legAngleDeg')}
          onChange={(legAngleDeg) => legAngleDeg !== null && set({ legAngleDeg })}
        />
        <NumberField
          label={words.alternatives.budget}
          of="plain"
          value={bounds.budgetS}
          fault={faultAt(error, '/budgetS')}
          onChange={(budgetS) => budgetS !== null && set({ budgetS })}
        />
      </div>
    </details>
  );
}

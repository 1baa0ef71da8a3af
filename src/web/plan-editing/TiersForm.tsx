import type { ReactNode } from 'react';
import { barLengthM, legsOf, placeOnTier } from '../../domain/plan/attachment-places.ts';
import { madeLengthM } from '../../domain/plan/leg-doubts.ts';
import type { Hang, PartUsed, PickUp, Plan, Position, Tier, TierLeg } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { againstText } from '../checks/CheckList.tsx';
import { worstFirst } from '../checks/order.ts';
import { mostPull } from '../elevation/most-pull.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { Opened } from '../parts/Opened.tsx';
import { StateMark } from '../parts/StateMark.tsx';
import { useUnits } from '../units/units-choice.ts';
import { forceText, lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import { withHang } from './edit-hang.ts';
import {
  laidOut,
  mayHangFrom,
  pointForLeg,
  withLegChange,
  withLegEnd,
  withTier,
  withTierKind,
  withTiers,
  type LegEnd,
  type Tiers,
} from './edit-tiers.ts';
import { faultAt, type HangTold } from './hang-told.ts';
import { PartsField, WithParts } from './PartsField.tsx';
import { PointSelect } from './PointSelect.tsx';
import { shownM } from './shown.ts';
import { TextField } from './TextField.tsx';

type Props = {
  plan: Plan;
  hang: Hang;
  pickUp: PickUp;
  attachment: Tiers;
  points: readonly RoofPoint[];
  told: HangTold;
  onChange: (hang: Hang) => void;
  onPlan: (plan: Plan) => void;
};

const nameOf = ({ kind, id }: Tier): string => (kind === 'ring' ? words.tiers.ringName(id) : words.tiers.barName(id));
const legName = ({ kind }: Tier, index: number): string => (kind === 'ring' ? words.tiers.leg(index + 1) : words.tiers.line(index + 1));

/** Two-leg bridles and spreaders one above the other, from the hook up. */
export function TiersForm(props: Props) {
  const { plan, hang, pickUp, attachment: all, points, told, onChange, onPlan } = props;
  const pointer = `/pickUps/${hang.pickUps.indexOf(pickUp)}/attachment`;
  const set = (next: Tiers) => onChange(withTiers(hang, pickUp, next));
  const setParts = (next: Plan, changed: Tiers) => onPlan(withHang(next, withTiers(hang, pickUp, changed)));
  const foot = all.tiers.find(({ id }) => id === all.foot.tierId);
  const general = told.faults.find((one) => one.pointer === `${pointer}/tiers`);
  return (
    <fieldset className="stack tight rows">
      <legend>{words.tiers.title}</legend>
      <p className="soft">{words.tiers.hint}</p>
      <Told hang={hang} pickUp={pickUp} told={told} />
      {general && (
        <p role="status" className="fault">
          {general.message}
        </p>
      )}
      <div className="row">
        {all.tiers.length > 1 && (
          <label className="field">
            <span>{words.tiers.foot}</span>
            <select
              value={all.foot.tierId}
              onChange={({ target }) => {
                const tier = all.tiers.find(({ id }) => id === target.value);
                if (tier) set({ ...all, foot: { ...all.foot, tierId: tier.id, atM: tier.kind === 'ring' ? null : barLengthM(tier) / 2 } });
              }}
            >
              {all.tiers.map((tier) => (
                <option key={tier.id} value={tier.id}>
                  {nameOf(tier)}
                </option>
              ))}
            </select>
          </label>
        )}
        {foot?.kind === 'spreader' && (
          <NumberField
            label={words.tiers.footAt}
            of="length"
            value={shownM(all.foot.atM ?? 0)}
            fault={faultAt(told, `${pointer}/foot/atM`)}
            onChange={(atM) => atM !== null && set({ ...all, foot: { ...all.foot, atM } })}
          />
        )}
        <button type="button" onClick={() => set(laidOut(all, points))}>
          {words.tiers.layOut}
        </button>
      </div>
      {all.tiers.map((tier, index) => (
        <TierForm key={tier.id} {...props} tier={tier} pointer={`${pointer}/tiers/${index}`} onTiers={set} onParts={setParts} />
      ))}
      <Opened summary={words.tiers.footParts}>
        <WithParts>
          {(catalogue) => (
            <PartsField
              title={words.tiers.footParts}
              plan={plan}
              parts={all.foot.parts}
              catalogue={catalogue}
              onChange={(next, parts) => setParts(next, { ...all, foot: { ...all.foot, parts } })}
            />
          )}
        </WithParts>
      </Opened>
    </fieldset>
  );
}

/** Whether they hang as drawn, by the worst check of their legs. */
function Told({ hang, pickUp, told }: Pick<Props, 'hang' | 'pickUp' | 'told'>) {
  const units = useUnits();
  const [worst] = told.checks
    .filter(({ kind, hangId, pickUpId }) => kind === 'leg' && hangId === hang.id && pickUpId === pickUp.id)
    .sort(worstFirst);
  if (worst === undefined) return null;
  return (
    <p role="status" className="row">
      <StateMark mark={worst.verdict} />{' '}
      {worst.reason?.text ?? (worst.verdict === 'fits' ? words.tiers.hangs : `${words.checks.kinds.leg}: ${againstText(worst, units)}`)}
    </p>
  );
}

type TierProps = Props & {
  tier: Tier;
  pointer: string;
  onTiers: (all: Tiers) => void;
  onParts: (plan: Plan, all: Tiers) => void;
};

function TierForm(props: TierProps) {
  const { attachment: all, tier, points, told, pointer, onTiers } = props;
  const fault = faultAt({ ...told, faults: told.faults.filter((one) => !one.pointer.startsWith(`${pointer}/l`)) }, pointer);
  const setPlace = (place: 'apex' | 'start' | 'end', axis: keyof Position, valueM: number | null) => {
    if (valueM === null) return;
    if (tier.kind === 'ring') onTiers(withTier(all, { ...tier, apex: { ...tier.apex, [axis]: valueM } }));
    else if (place !== 'apex') onTiers(withTier(all, { ...tier, [place]: { ...tier[place], [axis]: valueM } }));
  };
  const places =
    tier.kind === 'ring'
      ? ([['apex', tier.apex]] as const)
      : ([
          ['start', tier.start],
          ['end', tier.end],
        ] as const);
  return (
    <fieldset className="sheet stack tight">
      <legend>{nameOf(tier)}</legend>
      <div className="row">
        <label className="field">
          <span>{words.tiers.kind}</span>
          <select
            value={tier.kind}
            onChange={({ target }) => onTiers(withTierKind(all, tier.id, target.value === 'ring' ? 'ring' : 'spreader', points))}
          >
            {Object.entries(words.tiers.kinds).map(([kind, text]) => (
              <option key={kind} value={kind}>
                {text}
              </option>
            ))}
          </select>
        </label>
        {fault !== null && <small className="fault">{fault}</small>}
      </div>
      {places.map(([place, { xM, yM, zM }]) => (
        <div className="row" key={place}>
          {(
            [
              ['xM', xM, words.tiers.x],
              ['yM', yM, words.tiers.y],
              ['zM', zM, words.tiers.z],
            ] as const
          ).map(([axis, valueM, label]) => (
            <NumberField
              key={axis}
              label={place === 'apex' ? label : words.tiers[place](label)}
              of="length"
              value={shownM(valueM)}
              onChange={(nextM) => setPlace(place, axis, nextM)}
            />
          ))}
        </div>
      ))}
      {legsOf(tier).map((leg, index) => (
        <Leg key={index} {...props} leg={leg} index={index} />
      ))}
      {tier.kind === 'spreader' && (
        <TextField label={words.tiers.use} value={tier.useBasis} onChange={(useBasis) => onTiers(withTier(all, { ...tier, useBasis }))} />
      )}
      <Opened
        summary={words.tiers.parts(legsOf(tier).every(({ parts }) => parts.length > 0) && (tier.kind === 'ring' || tier.parts.length > 0))}
      >
        <TierParts {...props} />
      </Opened>
    </fieldset>
  );
}

function Leg({ attachment: all, tier, pickUp, leg, index, points, told, pointer, onTiers }: TierProps & { leg: TierLeg; index: number }) {
  const units = useUnits();
  const name = legName(tier, index);
  const at = `${pointer}/${tier.kind === 'ring' ? 'legs' : 'lines'}/${index}`;
  const { to } = leg;
  const above = 'tierId' in to ? all.tiers.find(({ id }) => id === to.tierId) : undefined;
  const go = (end: LegEnd) => onTiers(withLegEnd(all, tier.id, index, end, points));
  const choose = (value: string) => {
    if (value === 'newRing') return go({ make: 'ring' });
    if (value === 'newBar') return go({ make: 'spreader' });
    if (value !== 'point') return go({ tierId: value.slice('tier '.length) });
    const point = pointForLeg(all, leg, points);
    if (point) go({ pointId: point.id });
  };
  const pull =
    'pointId' in to
      ? mostPull(
          told.loads.filter(({ pickUpId }) => pickUpId === pickUp.id),
          to.pointId,
        )
      : null;
  const bar = tier.kind === 'spreader' ? tier.lines[index] : undefined;
  return (
    <div className="row">
      {bar !== undefined && (
        <NumberField
          label={words.tiers.from(name)}
          of="length"
          value={shownM(bar.atM)}
          fault={faultAt(told, `${at}/atM`)}
          onChange={(atM) => atM !== null && onTiers(withLegChange(all, tier.id, index, { atM }))}
        />
      )}
      <label className="field">
        <span>{words.tiers.to(name)}</span>
        <select value={'pointId' in to ? 'point' : `tier ${to.tierId}`} onChange={({ target }) => choose(target.value)}>
          <option value="point">{words.tiers.ends.point}</option>
          {mayHangFrom(all, tier.id).map((one) => (
            <option key={one.id} value={`tier ${one.id}`}>
              {nameOf(one)}
            </option>
          ))}
          {'tierId' in to && above === undefined && <option value={`tier ${to.tierId}`}>{words.checks.gone}</option>}
          <option value="newRing">{words.tiers.ends.newRing}</option>
          <option value="newBar">{words.tiers.ends.newBar}</option>
        </select>
      </label>
      {'pointId' in to ? (
        <PointSelect
          label={words.tiers.point(name)}
          points={points}
          value={to.pointId}
          fault={faultAt(told, `${at}/to`)}
          onChange={({ id }) => go({ pointId: id })}
        />
      ) : (
        above?.kind === 'spreader' && (
          <NumberField
            label={words.tiers.along(name)}
            of="length"
            value={shownM(to.atM ?? 0)}
            fault={faultAt(told, `${at}/to`)}
            onChange={(atM) => atM !== null && onTiers(withLegChange(all, tier.id, index, { to: { ...to, atM } }))}
          />
        )
      )}
      {pull && pull.pullKn > 0 && (
        <span className="soft">
          {(pull.isLowerBound ? words.tiers.pullsAtLeast : words.tiers.pulls)(forceText(pull.pullKn, units, 'load'))}
        </span>
      )}
    </div>
  );
}

/** What the ring or bar, and each of its legs, is made of, with the length that each has to have. */
function TierParts({ plan, attachment: all, tier, points, onParts }: TierProps) {
  const units = useUnits();
  const lengthOf = (leg: TierLeg & { atM?: number }): number | null => {
    const { to } = leg;
    const from = placeOnTier(all.tiers, { tierId: tier.id, atM: leg.atM ?? null });
    const end = 'pointId' in to ? points.find(({ id }) => id === to.pointId) : placeOnTier(all.tiers, to);
    return from && end ? Math.sqrt((end.xM - from.xM) ** 2 + (end.yM - from.yM) ** 2 + (end.zM - from.zM) ** 2) : null;
  };
  const text = (lengthM: number | null) => (lengthM === null ? words.notStated : lengthText(lengthM, units));
  const field = (key: number | 'own', title: string, parts: readonly PartUsed[], change: (parts: PartUsed[]) => Tiers): ReactNode => (
    <WithParts key={key}>
      {(catalogue) => (
        <PartsField
          title={title}
          plan={plan}
          parts={parts}
          catalogue={catalogue}
          onChange={(next, chosen) => onParts(next, change(chosen))}
        />
      )}
    </WithParts>
  );
  return (
    <div className="stack tight">
      {legsOf(tier).map((leg, index) => {
        const made = leg.parts.length === 0 ? words.none : text(madeLengthM(plan, leg.parts));
        const title = words.tiers.legParts(legName(tier, index), text(lengthOf(leg)), made);
        return field(index, title, leg.parts, (parts) => withLegChange(all, tier.id, index, { parts }));
      })}
      {field('own', tier.kind === 'ring' ? words.tiers.ringParts : words.tiers.barParts(text(barLengthM(tier))), tier.parts, (parts) =>
        withTier(all, { ...tier, parts }),
      )}
    </div>
  );
}

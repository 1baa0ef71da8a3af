import { pointIdsOf } from '../../domain/plan/attachment-places.ts';
import type { Hang, HoistData, PickUp, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { Opened } from '../parts/Opened.tsx';
import { Part, partQuery } from '../parts/Part.tsx';
import { words } from '../words.ts';
import { bridledTo, movedUnder, tieredTo, withApexAt, withLegAt, withPickUpChange } from './edit-hang.ts';
import { isBuiltFrame } from './edit-frame.ts';
import { isBuiltTruss } from './edit-truss.ts';
import type { HangTold } from './hang-told.ts';
import { PointSelect } from './PointSelect.tsx';
import { YesNo } from './YesNo.tsx';

const TIERS_FORM = partQuery('tiers-form', async () => (await import('./TiersForm.tsx')).TiersForm);
const LINE_PARTS = partQuery('line-parts', async () => (await import('./LineParts.tsx')).LineParts);

type Props = {
  plan: Plan;
  hang: Hang;
  pickUp: PickUp;
  points: readonly RoofPoint[];
  told: HangTold;
  onChange: (hang: Hang) => void;
  onPlan: (plan: Plan) => void;
};

/** Where a pick-up goes to, straight or on two legs, and by which hoist. */
export function PickUpForm({ plan, hang, pickUp, points, told, onChange, onPlan }: Props) {
  const { attachment } = pickUp;
  const placeOf = (pointId: string | undefined) => points.find(({ id }) => id === pointId);
  const [first, second, ...more] = pointIdsOf(attachment).map(placeOf);
  const toLeg = (index: number, point: RoofPoint) => {
    if (more.length > 0) return onChange(withLegAt(hang, pickUp, index, point, points));
    if (first && second) onChange(index === 0 ? bridledTo(hang, pickUp, point, second) : bridledTo(hang, pickUp, first, point));
  };
  const nearestTo = (point: RoofPoint) =>
    points.reduce<RoofPoint | null>(
      (best, one) => (one.id !== point.id && (best === null || apart(one, point) < apart(best, point)) ? one : best),
      null,
    );
  const toBridle = () => {
    const other = first && nearestTo(first);
    if (first && other) onChange(bridledTo(hang, pickUp, first, other));
  };
  const tiersButton = (
    <button
      type="button"
      onClick={() => {
        const other = second ?? (first && nearestTo(first));
        if (first && other) onChange(tieredTo(hang, pickUp, first, other));
      }}
    >
      {words.tiers.open}
    </button>
  );
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.hang.pickUp(pickUp.chalk)}</legend>
      <div className="row">
        {attachment.kind === 'direct' && (
          <>
            <PointSelect
              label={words.hang.point}
              points={points}
              value={attachment.pointId}
              onChange={(point) => onChange(movedUnder(hang, pickUp, point))}
            />
            <button type="button" onClick={toBridle}>
              {words.hang.toBridle}
            </button>
            {tiersButton}
          </>
        )}
        {attachment.kind === 'bridle' && first && second && (
          <>
            {attachment.legs.map(({ pointId }, index) => (
              <PointSelect
                key={index}
                label={words.hang.leg(index + 1)}
                points={points}
                value={pointId}
                onChange={(point) => toLeg(index, point)}
              />
            ))}
            <NumberField
              label={words.hang.apex}
              of="length"
              value={attachment.apex.zM}
              onChange={(zM) => zM !== null && onChange(withApexAt(hang, pickUp, zM))}
            />
            <button type="button" onClick={() => onChange(movedUnder(hang, pickUp, first))}>
              {words.hang.toDirect}
            </button>
            {tiersButton}
          </>
        )}
        {attachment.kind === 'tiers' && first && (
          <button type="button" onClick={() => onChange(movedUnder(hang, pickUp, first))}>
            {words.hang.toDirect}
          </button>
        )}
        {!isBuiltTruss(hang) && !isBuiltFrame(hang) && (
          <NumberField
            label={words.hang.height}
            of="length"
            optional
            value={pickUp.position.zM}
            onChange={(zM) => onChange(withPickUpChange(hang, pickUp, { position: { ...pickUp.position, zM } }))}
          />
        )}
        {pickUp.hoist !== null && (
          <NumberField
            label={words.hang.chain}
            of="length"
            optional
            value={pickUp.hoist.chainLengthM}
            onChange={(chainLengthM) => onChange(withPickUpChange(hang, pickUp, { hoist: { ...pickUp.hoist!, chainLengthM } }))}
          />
        )}
      </div>
      {attachment.kind === 'tiers' && (
        <Part of={TIERS_FORM}>
          {(TiersForm) => <TiersForm {...{ plan, hang, pickUp, points, told, onPlan }} attachment={attachment} onChange={onChange} />}
        </Part>
      )}
      {(attachment.kind === 'direct' || attachment.kind === 'bridle') && (
        <Opened summary={words.steels.title(attachment.kind === 'direct' || attachment.legs.every(({ parts }) => parts.length > 0))}>
          <Part of={LINE_PARTS}>
            {(LineParts) => <LineParts plan={plan} hang={hang} pickUp={pickUp} points={points} onPlan={onPlan} />}
          </Part>
        </Opened>
      )}
      {pickUp.hoist !== null && <HoistForm plan={plan} name={pickUp.hoist.equipment} onPlan={onPlan} />}
    </fieldset>
  );
}

const apart = (a: RoofPoint, b: RoofPoint): number => (a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2;

/** The hoist's own values, shared by every pick-up that uses it. */
function HoistForm({ plan, name, onPlan }: { plan: Plan; name: string; onPlan: (plan: Plan) => void }) {
  const used = plan.equipment[name];
  if (used?.data.kind !== 'hoist') return null;
  const hoist = used.data;
  const set = (change: Partial<HoistData>) =>
    onPlan({ ...plan, equipment: { ...plan.equipment, [name]: { from: null, data: { ...hoist, ...change } } } });
  return (
    <details>
      <summary>{words.hang.hoist(hoist.name)}</summary>
      <p className="soft">{words.hang.hoistShared}</p>
      <div className="row">
        <NumberField label={words.hang.hoistWll} of="mass" optional value={hoist.wllKg} onChange={(wllKg) => set({ wllKg })} />
        <label className="field">
          <span>{words.hang.netOf}</span>
          <select
            value={hoist.wllIsNetOf ?? ''}
            onChange={({ target: { value } }) => set({ wllIsNetOf: value === 'hook' || value === 'hookPlusBody' ? value : null })}
          >
            <option value="">{words.notStated}</option>
            <option value="hook">{words.hang.netOfHook}</option>
            <option value="hookPlusBody">{words.hang.netOfBody}</option>
          </select>
        </label>
        <NumberField label={words.hang.body} of="mass" optional value={hoist.bodyKg} onChange={(bodyKg) => set({ bodyKg })} />
        <NumberField
          label={words.hang.chainKg}
          of="plain"
          optional
          value={hoist.chainKgPerM}
          onChange={(chainKgPerM) => set({ chainKgPerM })}
        />
        <NumberField label={words.hang.falls} of="plain" optional value={hoist.falls} onChange={(falls) => set({ falls })} />
        <NumberField label={words.hang.bag} of="mass" optional value={hoist.bagKg} onChange={(bagKg) => set({ bagKg })} />
        <NumberField label={words.hang.lift} of="length" optional value={hoist.liftM} onChange={(liftM) => set({ liftM })} />
        <NumberField
          label={words.hang.speed}
          of="plain"
          optional
          value={hoist.speedMPerMin}
          onChange={(speedMPerMin) => set({ speedMPerMin })}
        />
        <NumberField
          label={words.hang.shortest}
          of="length"
          optional
          value={hoist.shortestHookToHookM}
          onChange={(shortestHookToHookM) => set({ shortestHookToHookM })}
        />
        <NumberField
          label={words.hang.dynamic}
          of="plain"
          optional
          value={hoist.dynamicFactor}
          onChange={(dynamicFactor) => set({ dynamicFactor })}
        />
        <NumberField
          label={words.hang.limiter}
          of="plain"
          optional
          value={hoist.limiterFactor}
          onChange={(limiterFactor) => set({ limiterFactor })}
        />
        <YesNo label={words.hang.holdOver} value={hoist.mayHoldOverPeople} onChange={(mayHoldOverPeople) => set({ mayHoldOverPeople })} />
        <YesNo label={words.hang.secondary} value={hoist.needsSecondary} onChange={(needsSecondary) => set({ needsSecondary })} />
      </div>
    </details>
  );
}

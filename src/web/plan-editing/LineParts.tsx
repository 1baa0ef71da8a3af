import { useState } from 'react';
import { madeLengthM } from '../../domain/plan/leg-doubts.ts';
import type { Hang, PartUsed, PickUp, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { useUnits } from '../units/units-choice.ts';
import { lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import { withHang } from './edit-hang.ts';
import { PartsField, WithParts } from './PartsField.tsx';
import { apexOfSteels, drawnLegsM, offeredSteels, steelsOf, withLineParts, withSteels, type Bridle, type CataloguePart } from './steels.ts';

type Props = { plan: Plan; hang: Hang; pickUp: PickUp; points: readonly RoofPoint[]; onPlan: (plan: Plan) => void };

/** What a line, or the legs of a bridle, is made of: each part by hand, or steels from the catalogue that bring the apex where it is drawn. */
export function LineParts(props: Props) {
  return <WithParts>{(parts) => <PartsOfWay {...props} catalogue={parts} />}</WithParts>;
}

function PartsOfWay({ plan, hang, pickUp, points, onPlan, catalogue: parts }: Props & { catalogue: readonly CataloguePart[] }) {
  const units = useUnits();
  const { attachment } = pickUp;
  const list = (place: 'line' | 'apex' | number, title: string, used: readonly PartUsed[]) => (
    <PartsField
      key={place}
      title={title}
      plan={plan}
      parts={used}
      catalogue={parts}
      onChange={(next, chosen) => onPlan(withHang(next, withLineParts(hang, pickUp, place, chosen)))}
    />
  );
  if (attachment.kind === 'direct') return list('line', words.steels.line, attachment.parts);
  if (attachment.kind !== 'bridle') return null;
  const drawn = drawnLegsM(attachment, points);
  return (
    <div className="stack tight">
      {attachment.legs.map((leg, index) => {
        const made = madeLengthM(plan, leg.parts);
        const length = (lengthM: number | null | undefined) =>
          lengthM === null || lengthM === undefined ? words.notStated : lengthText(lengthM, units);
        const title = words.steels.leg(index + 1, points.find(({ id }) => id === leg.pointId)?.label ?? words.checks.gone);
        return list(
          index,
          `${title}: ${words.steels.lengths(length(drawn?.[index]), leg.parts.length === 0 ? words.none : length(made))}`,
          leg.parts,
        );
      })}
      {list('apex', words.steels.apex, attachment.apexParts)}
      <ApexOfSteels plan={plan} hang={hang} pickUp={pickUp} bridle={attachment} points={points} onPlan={onPlan} />
      <Offer plan={plan} hang={hang} pickUp={pickUp} bridle={attachment} points={points} catalogue={parts} onPlan={onPlan} />
    </div>
  );
}

type BridleProps = Props & { bridle: Bridle };

/** The way round: the lengths are what they are, and the apex goes where they bring it. */
function ApexOfSteels({ plan, hang, pickUp, bridle, points, onPlan }: BridleProps) {
  const [refused, refuse] = useState<{ of: Plan; code: string } | null>(null);
  return (
    <div className="row">
      <button
        type="button"
        disabled={bridle.legs.some(({ parts }) => parts.length === 0)}
        onClick={() => {
          const found = apexOfSteels(plan, hang, pickUp, bridle, points);
          if (found.ok) onPlan(found.value);
          refuse(found.ok ? null : { of: plan, code: found.error.code });
        }}
      >
        {words.steels.toApex}
      </button>
      {refused?.of === plan && (
        <p role="status" className="fault">
          {refusalText(refused.code)}
        </p>
      )}
    </div>
  );
}

const refusalText = (code: string): string => (words.steels.refusals as Record<string, string>)[code] ?? words.elevation.noBridle(code);

const WITHIN_M = 0.1;

function Offer({ plan, hang, pickUp, bridle, points, catalogue, onPlan }: BridleProps & { catalogue: readonly CataloguePart[] }) {
  const units = useUnits();
  const shackles = catalogue.filter(({ data }) => data.part === 'shackle' && data.lengthM !== null);
  const [wllKg, setWll] = useState<number | null>(null);
  const [withinM, setWithin] = useState(WITHIN_M);
  const [shackleId, setShackle] = useState(shackles[0]?.id ?? '');
  const [found, find] = useState<{ of: Plan; answer: ReturnType<typeof offeredSteels> } | null>(null);
  const shackle = shackles.find(({ id }) => id === shackleId) ?? null;
  const steels = steelsOf(catalogue, wllKg);
  const answer = found?.of === plan ? found.answer : null; // of any other plan it says nothing
  return (
    <details>
      <summary>{words.steels.offer}</summary>
      <div className="stack tight">
        <p className="soft">{words.steels.offerText(steels.length)}</p>
        <div className="row">
          <NumberField label={words.steels.atLeast} of="mass" optional value={wllKg} onChange={setWll} />
          <NumberField label={words.steels.within} of="length" value={withinM} onChange={(next) => next !== null && setWithin(next)} />
          <label className="field">
            <span>{words.steels.shackle}</span>
            <select value={shackleId} onChange={(event) => setShackle(event.target.value)}>
              <option value="">{words.none}</option>
              {shackles.map(({ id, data }) => (
                <option key={id} value={id}>
                  {data.name}
                </option>
              ))}
            </select>
          </label>
          <button type="button" onClick={() => find({ of: plan, answer: offeredSteels(bridle, points, steels, shackle, withinM) })}>
            {words.steels.look}
          </button>
        </div>
        {answer && !answer.ok && (
          <p role="status" className="fault">
            {refusalText(answer.error.code)}
          </p>
        )}
        {answer?.ok && (
          <ul className="plain stack tight" role="status">
            {answer.value.map((offer, index) => (
              <li key={index} className="row">
                <span>
                  {offer.legs
                    .map(({ steels: chosen, madeM }, leg) =>
                      words.steels.offered(
                        leg + 1,
                        chosen.map(({ part, count }) => `${count} × ${part.data.name}`).join(' + '),
                        lengthText(madeM, units),
                      ),
                    )
                    .join('; ')}{' '}
                  <span className="soft">{words.steels.off(lengthText(offer.offM, units, 'load'))}</span>
                </span>
                <button
                  type="button"
                  aria-label={words.steels.takeNamed(index + 1)}
                  onClick={() => onPlan(withSteels(plan, hang, pickUp, bridle, offer, shackle))}
                >
                  {words.alternatives.take}
                </button>
              </li>
            ))}
          </ul>
        )}
      </div>
    </details>
  );
}

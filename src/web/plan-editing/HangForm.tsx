import type { Hang, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { Field } from '../parts/Field.tsx';
import { NumberField } from '../parts/NumberField.tsx';
import { Opened } from '../parts/Opened.tsx';
import { Part, partQuery } from '../parts/Part.tsx';
import { words } from '../words.ts';
import { ArrayForm } from './ArrayForm.tsx';
import { BasisSelect } from './BasisSelect.tsx';
import { withHang } from './edit-hang.ts';
import { frameFollowedBy, isBuiltFrame } from './edit-frame.ts';
import { linesOf, mayHaveLines, stillAside } from './edit-lines.ts';
import { followedBy, isBuiltTruss } from './edit-truss.ts';
import type { HangTold } from './hang-told.ts';
import { PickUpForm } from './PickUpForm.tsx';

const LINES_FORM = partQuery('lines-form', async () => (await import('./LinesForm.tsx')).LinesForm);
const FRAME_FORM = partQuery('frame-form', async () => (await import('./FrameForm.tsx')).FrameForm);
const TRUSS_FORM = partQuery('truss-form', async () => (await import('./TrussForm.tsx')).TrussForm);

type Props = {
  plan: Plan;
  hang: Hang;
  points: readonly RoofPoint[];
  told: HangTold;
  onChange: (plan: Plan) => void;
  onRemove: () => void;
};

/** Everything of one hang that can be set here. Each change is worked out at once. */
export function HangForm({ plan, hang, points, told, onChange, onRemove }: Props) {
  const change = (next: Hang) => onChange(withHang(plan, next));
  const followed = (next: Hang, pickUpId: string) =>
    isBuiltTruss(hang)
      ? followedBy(hang, next, pickUpId)
      : isBuiltFrame(hang)
        ? frameFollowedBy(hang, next, pickUpId)
        : stillAside(hang, next, points);
  const [item] = hang.items;
  return (
    <section className="stack" aria-label={hang.label}>
      <div className="row apart">
        <h3>{hang.label}</h3>
        <button type="button" className="bare" onClick={onRemove}>
          {words.hang.remove}
        </button>
      </div>
      <div className="row">
        <Field
          label={words.hang.label}
          size={14}
          defaultValue={hang.label}
          key={hang.label}
          onBlur={(event) =>
            event.target.value.trim() !== '' && event.target.value !== hang.label && change({ ...hang, label: event.target.value.trim() })
          }
        />
        <NumberField
          label={words.hang.trim}
          of="length"
          optional
          value={hang.trim?.heightM ?? null}
          onChange={(heightM) =>
            change({
              ...hang,
              trim:
                heightM === null
                  ? null
                  : {
                      heightM,
                      of: hang.trim?.of ?? (hang.kind === 'truss' || hang.kind === 'trussFrame' ? 'trussBottom' : 'lowestCorner'),
                    },
            })
          }
        />
      </div>
      {hang.kind !== 'array' && item && (
        <div className="row">
          <NumberField
            label={words.hang.mass}
            of="mass"
            optional
            value={item.massKg}
            onChange={(massKg) => change({ ...hang, items: [{ ...item, massKg }, ...hang.items.slice(1)] })}
          />
          <BasisSelect value={item.basis} onChange={(basis) => change({ ...hang, items: [{ ...item, basis }, ...hang.items.slice(1)] })} />
        </div>
      )}
      {hang.kind === 'array' && hang.build !== null && (
        <ArrayForm plan={plan} hang={hang} build={hang.build} points={points} onChange={change} />
      )}
      {isBuiltTruss(hang) && (
        <Part of={TRUSS_FORM}>{(TrussForm) => <TrussForm plan={plan} hang={hang} points={points} onChange={change} />}</Part>
      )}
      {isBuiltFrame(hang) && (
        <Part of={FRAME_FORM}>{(FrameForm) => <FrameForm {...{ plan, hang, points, told }} onChange={change} />}</Part>
      )}
      {(hang.kind === 'truss' || hang.kind === 'trussFrame') && hang.build === null && <p className="soft">{words.hang.onlyShown}</p>}
      {hang.pickUps.map((pickUp) => (
        <PickUpForm
          key={pickUp.id}
          plan={plan}
          hang={hang}
          pickUp={pickUp}
          points={points}
          told={told}
          onChange={(next) => change(followed(next, pickUp.id))}
          onPlan={(next) => {
            const there = next.hangs.find(({ id }) => id === hang.id);
            onChange(there ? withHang(next, followed(there, pickUp.id)) : next);
          }}
        />
      ))}
      {mayHaveLines(hang) && (
        <Opened summary={words.lines.title(linesOf(hang).length)}>
          <Part of={LINES_FORM}>
            {(LinesForm) => <LinesForm plan={plan} hang={hang} points={points} told={told} onChange={change} onPlan={onChange} />}
          </Part>
        </Opened>
      )}
    </section>
  );
}

import { useRef } from 'react';
import type { Hang, LineOffPlumb, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { againstText } from '../checks/CheckList.tsx';
import { worstByPoint } from '../checks/order.ts';
import { mostPull } from '../elevation/most-pull.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { StateMark } from '../parts/StateMark.tsx';
import { useUnits } from '../units/units-choice.ts';
import { forceText } from '../units/units.ts';
import { words } from '../words.ts';
import { withHang } from './edit-hang.ts';
import {
  asideOf,
  hooksHeld,
  linesOf,
  mayHaveLines,
  placeBeside,
  pointBeside,
  rearOf,
  withAside,
  withLine,
  withLineChange,
  withLineEnd,
  withOffPlumb,
  withoutLine,
} from './edit-lines.ts';
import { faultAt, type HangTold } from './hang-told.ts';
import { PartsField, WithParts } from './PartsField.tsx';
import { PointSelect } from './PointSelect.tsx';
import { shownM } from './shown.ts';
import { TextField } from './TextField.tsx';

type Props = {
  plan: Plan;
  hang: Hang;
  points: readonly RoofPoint[];
  told: HangTold;
  onChange: (hang: Hang) => void;
  onPlan: (plan: Plan) => void;
};

const KINDS = ['breastline', 'pullBack', 'guy'] as const satisfies readonly LineOffPlumb['kind'][];

/** What holds a hang aside: each line with its two ends, and what it carries. */
export function LinesForm({ plan, hang, points, told, onChange, onPlan }: Props) {
  const add = (to: LineOffPlumb['to']) => onChange(withLine(hang, to, points, () => crypto.randomUUID()));
  const lines = linesOf(hang);
  const all = useRef<HTMLDivElement>(null);
  const remove = (lineId: string) => {
    onChange(withoutLine(hang, lineId));
    all.current?.focus({ preventScroll: true }); // what was pressed is gone
  };
  const ofAll = told.faults.find(({ pointer }) => pointer === '/linesOffPlumb');
  return (
    <div className="stack tight" ref={all} tabIndex={-1}>
      <p className="soft">{words.lines.hint}</p>
      {ofAll && (
        <p role="status" className="fault">
          {ofAll.message}
        </p>
      )}
      {hooksHeld(hang).map(({ id }) => (
        <Aside key={id} pickUpId={id} hang={hang} points={points} onChange={onChange} />
      ))}
      {lines.length > 0 && <p className="soft">{hang.kind === 'array' ? words.lines.asideOfArray : words.lines.asideHint}</p>}
      {lines.map((line, index) => (
        <Line key={line.id} {...{ plan, hang, points, told, onChange, onPlan, line, index }} onRemove={() => remove(line.id)} />
      ))}
      {mayHaveLines({ ...hang, linesOffPlumb: [] }) && (
        <div className="row">
          <PointSelect
            key={lines.length}
            label={words.lines.addPoint}
            points={points}
            value={null}
            onChange={({ id }) => add({ pointId: id })}
          />
          <button type="button" onClick={() => add(placeBeside(hang))}>
            {words.lines.addPlace}
          </button>
        </div>
      )}
    </div>
  );
}

/** How far aside a hook is drawn: one number where one line holds it, in the plane of that. */
function Aside({ hang, pickUpId, points, onChange }: Pick<Props, 'hang' | 'points' | 'onChange'> & { pickUpId: string }) {
  const aside = asideOf(hang, pickUpId, points);
  if (aside === null) return null;
  const { towardsM } = aside;
  const chalk = hang.pickUps.length > 1 ? hang.pickUps.find(({ id }) => id === pickUpId)?.chalk : undefined;
  const named = (label: string) => (chalk === undefined ? label : words.points.cell(chalk, label));
  return (
    <div className="row">
      {towardsM !== undefined ? (
        <NumberField
          label={named(words.lines.aside)}
          of="length"
          value={shownM(towardsM)}
          onChange={(nextM) => nextM !== null && onChange(withAside(hang, pickUpId, nextM, points))}
        />
      ) : (
        <>
          <NumberField
            label={named(words.lines.asideX)}
            of="length"
            value={shownM(aside.xM)}
            onChange={(xM) => xM !== null && onChange(withOffPlumb(hang, pickUpId, { ...aside, xM }, points))}
          />
          <NumberField
            label={named(words.lines.asideY)}
            of="length"
            value={shownM(aside.yM)}
            onChange={(yM) => yM !== null && onChange(withOffPlumb(hang, pickUpId, { ...aside, yM }, points))}
          />
        </>
      )}
    </div>
  );
}

type LineProps = Props & { line: LineOffPlumb; index: number; onRemove: () => void };

function Line({ plan, hang, points, told, onChange, onPlan, line, index, onRemove }: LineProps) {
  const set = (change: Partial<LineOffPlumb>) => onChange(withLineChange(hang, line.id, change));
  const end = (to: LineOffPlumb['to']) => onChange(withLineEnd(hang, line.id, to, points));
  const fault = (field: string) => faultAt(told, `/linesOffPlumb/${index}/${field}`);
  const { to } = line;
  const name = nameOf(line, index, points);
  return (
    <fieldset className="sheet stack tight">
      <legend>{name}</legend>
      <div className="row">
        <label className="field">
          <span>{words.lines.kind}</span>
          <select value={line.kind} onChange={({ target }) => set({ kind: KINDS.find((kind) => kind === target.value) ?? line.kind })}>
            {KINDS.map((kind) => (
              <option key={kind} value={kind}>
                {words.elevation.line[kind]}
              </option>
            ))}
          </select>
        </label>
        {((hang.kind === 'truss' && hang.pickUps.length > 1) || typeof line.pickUpId === 'string') && (
          <label className="field">
            <span>{words.lines.hook}</span>
            <select value={line.pickUpId ?? ''} onChange={({ target }) => set({ pickUpId: target.value === '' ? null : target.value })}>
              {!hang.pickUps.some(({ id }) => id === line.pickUpId) && <option value={line.pickUpId ?? ''}>{words.notStated}</option>}
              {hang.pickUps.map(({ id, chalk }) => (
                <option key={id} value={id}>
                  {chalk}
                </option>
              ))}
            </select>
            {fault('pickUpId') !== null && <small className="fault">{fault('pickUpId')}</small>}
          </label>
        )}
        {line.kind === 'guy' && (
          <NumberField
            label={words.lines.pretension}
            of="force"
            optional
            value={line.pretensionKn}
            fault={fault('pretensionKn')}
            onChange={(pretensionKn) => set({ pretensionKn })}
          />
        )}
        <button type="button" className="bare" aria-label={words.lines.remove(name)} onClick={onRemove}>
          {words.lines.removeAct}
        </button>
      </div>
      {hang.kind === 'array' && <MadeFast hang={hang} line={line} fault={fault('at')} onChange={set} />}
      <div className="row">
        <label className="field">
          <span>{words.lines.endsAt}</span>
          <select
            value={'pointId' in to ? 'point' : 'place'}
            onChange={({ target }) =>
              end(target.value === 'place' ? placeBeside(hang, line.pickUpId) : (pointBeside(hang, line, points) ?? to))
            }
          >
            {Object.entries(words.lines.ends).map(([id, text]) => (
              <option key={id} value={id}>
                {text}
              </option>
            ))}
          </select>
        </label>
        {'pointId' in to ? (
          <PointSelect
            label={words.lines.point}
            points={points}
            value={to.pointId}
            fault={fault('to')}
            onChange={({ id }) => end({ pointId: id })}
          />
        ) : (
          <>
            {(['xM', 'yM', 'zM'] as const).map((axis) => (
              <NumberField
                key={axis}
                label={words.lines[PLACE[axis]]}
                of="length"
                value={to.place[axis]}
                fault={fault(`to/place/${axis}`)}
                onChange={(valueM) => valueM !== null && end({ ...to, place: { ...to.place, [axis]: valueM } })}
              />
            ))}
            <NumberField
              label={words.lines.holds}
              of="force"
              optional
              value={to.holdsKn}
              fault={fault('to/holdsKn')}
              onChange={(holdsKn) => set({ to: { ...to, holdsKn } })}
            />
            <TextField label={words.lines.basis} value={to.basis} onChange={(basis) => set({ to: { ...to, basis } })} />
          </>
        )}
      </div>
      <Told hang={hang} line={line} index={index} points={points} told={told} />
      <WithParts>
        {(catalogue) => (
          <PartsField
            title={words.lines.parts(name)}
            plan={plan}
            parts={line.parts}
            catalogue={catalogue}
            onChange={(next, parts) => onPlan(withHang(next, withLineChange(hang, line.id, { parts })))}
          />
        )}
      </WithParts>
    </fieldset>
  );
}

const PLACE = { xM: 'x', yM: 'y', zM: 'z' } as const;

function nameOf({ kind, to }: LineOffPlumb, index: number, points: readonly RoofPoint[]): string {
  const kindName = words.elevation.line[kind];
  if ('place' in to) return words.lines.toPlace(kindName, index + 1);
  return words.lines.toPoint(kindName, points.find(({ id }) => id === to.pointId)?.label ?? words.checks.gone);
}

type MadeFastProps = {
  hang: Extract<Hang, { kind: 'array' }>;
  line: LineOffPlumb;
  fault: string | null;
  onChange: (change: Partial<LineOffPlumb>) => void;
};

/** On which part of an array, and where on it: at its rear when another part is chosen. */
function MadeFast({ hang: { build }, line: { at }, fault, onChange }: MadeFastProps) {
  const cabinets = build?.elements ?? [];
  const choose = (value: string) => {
    const on = value === 'frame' ? 'frame' : Number(value);
    onChange({ at: build === null ? { on, uM: 0, vM: 0 } : { on, ...rearOf(build, on) } });
  };
  const isFrame = at?.on === 'frame';
  return (
    <div className="row">
      <label className="field">
        <span>{words.lines.on}</span>
        <select value={at === null ? '' : String(at.on)} onChange={({ target }) => choose(target.value)}>
          {at === null && <option value="">{words.notStated}</option>}
          <option value="frame">{words.lines.frame}</option>
          {cabinets.map((_, index) => (
            <option key={index} value={index}>
              {words.lines.cabinet(index + 1)}
            </option>
          ))}
          {typeof at?.on === 'number' && at.on >= cabinets.length && <option value={at.on}>{words.lines.cabinet(at.on + 1)}</option>}
        </select>
        {fault !== null && <small className="fault">{fault}</small>}
      </label>
      {at !== null && (
        <>
          <NumberField
            label={isFrame ? words.lines.forwardFrame : words.lines.forward}
            of="length"
            value={at.uM}
            onChange={(uM) => uM !== null && onChange({ at: { ...at, uM } })}
          />
          <NumberField
            label={isFrame ? words.lines.upFrame : words.lines.up}
            of="length"
            value={at.vM}
            onChange={(vM) => vM !== null && onChange({ at: { ...at, vM } })}
          />
        </>
      )}
    </div>
  );
}

/** What it pulls and whether what it ends at holds that, or why that is not known. */
function Told({ hang, line: { to }, index, points, told }: Pick<LineProps, 'hang' | 'line' | 'index' | 'points' | 'told'>) {
  const units = useUnits();
  const subject = `configuration:${hang.id}:linesOffPlumb`;
  const solved = told.checks.find(({ id }) => id === subject);
  if (solved === undefined) return null;
  if (solved.verdict !== 'fits')
    return (
      <p role="status" className="row">
        <StateMark mark={solved.verdict} /> {words.lines.notSolved} {solved.reason?.text}
      </p>
    );
  if ('place' in to) {
    const anchor = told.checks.find(({ id }) => id === `${subject}:${index}:anchor`);
    if (!anchor) return null;
    const pull = forceText(anchor.demand ?? 0, units, 'load');
    return (
      <p role="status" className="row">
        <StateMark mark={anchor.verdict} />{' '}
        {(anchor.verdict === 'unknown' ? words.lines.pullsAtLeast : words.lines.pulls)(pull, words.lines.thePlace)}{' '}
        {anchor.capacity !== null && againstText(anchor, units)} <span className="soft">{anchor.reason?.text}</span>
      </p>
    );
  }
  const pull = mostPull(told.loads, to.pointId);
  const label = points.find(({ id }) => id === to.pointId)?.label ?? words.checks.gone;
  const worst = worstByPoint(told.checks.filter(({ pointId }) => pointId === to.pointId)).get(to.pointId);
  if (pull === null) return null;
  const text = pull.isLowerBound ? words.lines.pullsAtLeast : words.lines.pulls;
  return (
    <p role="status" className="row">
      {worst && <StateMark mark={worst.verdict} />} {text(forceText(pull.pullKn, units, 'load'), label)}{' '}
      <span className="soft">{worst?.reason?.text}</span>
    </p>
  );
}

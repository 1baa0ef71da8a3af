import type { Plan, TrussFrameBuild } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { Opened } from '../parts/Opened.tsx';
import type { Column } from '../parts/typed-rows.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import {
  heightOf,
  rectangleOf,
  sidesOf,
  withFrame,
  withFrameHoist,
  withFrameStation,
  withHeight,
  withHoistsUnderPoints,
  withoutFrameHoist,
  withRectangle,
  withShape,
  type FrameHang,
} from './edit-frame.ts';
import { faultAt, type HangTold } from './hang-told.ts';
import { PointSelect } from './PointSelect.tsx';
import { shownM } from './shown.ts';
import { TextField } from './TextField.tsx';
import { LoadRows, Loads, Section } from './TrussParts.tsx';
import { YesNo } from './YesNo.tsx';

type Props = { plan: Plan; hang: FrameHang; points: readonly RoofPoint[]; told: HangTold; onChange: (hang: FrameHang) => void };

const CORNER: readonly Column<keyof TrussFrameBuild['corners'][number]>[] = [
  { name: 'xM', label: words.trussFrame.cornerX, of: 'length' },
  { name: 'yM', label: words.trussFrame.cornerY, of: 'length' },
];

/** A truss frame in plan: its shape, its hoists and what hangs on each of its sides. */
export function FrameForm({ plan, hang, points, told, onChange }: Props) {
  const units = useUnits();
  const { build } = hang;
  const set = (change: Partial<TrussFrameBuild>) => onChange(withFrame(hang, change));
  const sides = sidesOf(build);
  const found = faultAt({ ...told, faults: told.faults.filter(({ pointer }) => !/^\/build\/pickUps\/\d+\//.test(pointer)) }, '/build');
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.trussFrame.title(sides.length)}</legend>
      <p className="soft">{words.trussFrame.hint}</p>
      {found !== null && (
        <p role="status" className="fault">
          {found}
        </p>
      )}
      <Size hang={hang} onChange={onChange} />
      <Opened summary={words.trussFrame.corners}>
        <LoadRows
          title={words.trussFrame.corners}
          hint={words.trussFrame.cornersHint}
          columns={CORNER}
          values={build.corners}
          addText={words.trussFrame.addCorner}
          onChange={(corners) => onChange(withShape(hang, { corners, closed: build.closed }))}
        />
      </Opened>
      <div className="row">
        <YesNo
          label={words.trussFrame.closed}
          value={build.closed}
          onChange={(closed) => onChange(withShape(hang, { corners: build.corners, closed: closed ?? true }))}
        />
        <YesNo label={words.trussFrame.stiff} value={build.cornersStiff} onChange={(cornersStiff) => set({ cornersStiff })} />
      </div>
      <Hoists hang={hang} told={told} onChange={onChange} />
      <div className="row">
        <PointSelect
          key={hang.pickUps.length}
          label={words.trussFrame.addHoist}
          points={points}
          value={null}
          onChange={(point) => onChange(withFrameHoist(plan, hang, point, () => crypto.randomUUID()))}
        />
        <button type="button" onClick={() => onChange(withHoistsUnderPoints(hang, points))}>
          {words.trussFrame.underPoints}
        </button>
      </div>
      {sides.map(({ lengthM }, index) => {
        const loads = build.sides[index] ?? { pointLoads: [], spreadLoads: [] };
        const count = loads.pointLoads.length + loads.spreadLoads.length;
        const title = words.trussFrame.sideTitle(index + 1, lengthText(lengthM, units), count);
        return (
          <Opened key={index} summary={title}>
            <div role="group" aria-label={title} className="stack tight">
              <Loads
                build={loads}
                onChange={(change) =>
                  set({ sides: sides.map((_, at) => ({ ...(build.sides[at] ?? loads), ...(at === index ? change : {}) })) })
                }
              />
            </div>
          </Opened>
        );
      })}
      <Section isFrame section={build.section} onChange={(section) => set({ section })} />
      <TextField label={words.truss.torsion} value={build.torsionBasis ?? null} onChange={(torsionBasis) => set({ torsionBasis })} />
    </fieldset>
  );
}

/** Length by width as long as it is a rectangle, and how high its pick-ups are. */
function Size({ hang, onChange }: Pick<Props, 'hang' | 'onChange'>) {
  const shape = rectangleOf(hang.build);
  const set = (change: Parameters<typeof withRectangle>[1]) => onChange(withRectangle(hang, change));
  return (
    <div className="row">
      {shape && (
        <>
          <NumberField
            label={words.trussFrame.length}
            of="length"
            value={shownM(shape.lengthM)}
            onChange={(lengthM) => lengthM !== null && lengthM > 0 && set({ lengthM })}
          />
          <NumberField
            label={words.trussFrame.width}
            of="length"
            value={shownM(Math.abs(shape.widthM))}
            onChange={(widthM) => widthM !== null && widthM > 0 && set({ widthM: shape.widthM < 0 ? -widthM : widthM })}
          />
          <NumberField label={words.trussFrame.x} of="length" value={shownM(shape.xM)} onChange={(xM) => xM !== null && set({ xM })} />
          <NumberField label={words.trussFrame.y} of="length" value={shownM(shape.yM)} onChange={(yM) => yM !== null && set({ yM })} />
          <NumberField
            label={words.trussFrame.azimuth}
            of="plain"
            value={shownM(shape.azimuthDeg)}
            onChange={(azimuthDeg) => azimuthDeg !== null && set({ azimuthDeg })}
          />
        </>
      )}
      <NumberField
        label={words.trussFrame.height}
        of="length"
        optional
        value={heightOf(hang)}
        onChange={(heightM) => onChange(withHeight(hang, heightM))}
      />
    </div>
  );
}

function Hoists({ hang, told, onChange }: Pick<Props, 'hang' | 'told' | 'onChange'>) {
  const units = useUnits();
  const { build } = hang;
  const sides = sidesOf(build);
  return (
    <fieldset className="stack tight rows">
      <legend>{words.trussFrame.hoists}</legend>
      <p className="soft">{words.trussFrame.hoistsHint}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.truss.hoist}</th>
            <th scope="col">{words.trussFrame.side}</th>
            <th scope="col">
              {words.trussFrame.station} [{words.units.lengthNames[units.length]}]
            </th>
            <th scope="col">{words.truss.level}</th>
            <th scope="col">
              <span className="unseen">{words.points.remove}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {build.pickUps.map(({ pickUpId, side, atM, levelMm }, index) => {
            const chalk = hang.pickUps.find(({ id }) => id === pickUpId)?.chalk ?? words.checks.gone;
            const fault = (field: string) => faultAt(told, `/build/pickUps/${index}/${field}`);
            return (
              <tr key={pickUpId}>
                <th scope="row">{chalk}</th>
                <td>
                  <select
                    aria-label={words.points.cell(chalk, words.trussFrame.side)}
                    value={side}
                    onChange={({ target }) => {
                      const next = Number(target.value);
                      onChange(withFrameStation(hang, pickUpId, { side: next, atM: Math.min(atM, sides[next]?.lengthM ?? atM) }));
                    }}
                  >
                    {sides.map((_, at) => (
                      <option key={at} value={at}>
                        {words.trussFrame.sideNumber(at + 1)}
                      </option>
                    ))}
                  </select>
                </td>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.trussFrame.station)}
                    of="length"
                    value={shownM(atM)}
                    fault={fault('atM')}
                    onChange={(nextM) => nextM !== null && onChange(withFrameStation(hang, pickUpId, { atM: nextM }))}
                  />
                </td>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.truss.level)}
                    of="plain"
                    value={levelMm}
                    onChange={(nextMm) => nextMm !== null && onChange(withFrameStation(hang, pickUpId, { levelMm: nextMm }))}
                  />
                </td>
                <td>
                  <button
                    type="button"
                    className="bare"
                    aria-label={words.points.removeNamed(chalk)}
                    disabled={hang.pickUps.length < 2}
                    onClick={() => onChange(withoutFrameHoist(hang, pickUpId))}
                  >
                    {words.rows.removeMark}
                  </button>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </fieldset>
  );
}

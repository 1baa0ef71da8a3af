import { useQuery } from '@tanstack/react-query';
import { useState, type ReactNode } from 'react';
import type { MassBasis, Plan, TrussLoads, TrussSection } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { equipmentQuery } from '../api/queries.ts';
import { factName } from '../parts/fact-text.ts';
import { Loading } from '../parts/Loading.tsx';
import { NumberField } from '../parts/NumberField.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { RowsField } from '../parts/RowsField.tsx';
import { readRows, rowsOf, type Column, type Row } from '../parts/typed-rows.ts';
import { useUnits } from '../units/units-choice.ts';
import { lengthText, type Units } from '../units/units.ts';
import { words } from '../words.ts';
import { BasisSelect } from './BasisSelect.tsx';
import {
  isBeyondItsEnds,
  sectionOf,
  startOverhangM,
  withLevel,
  withoutTrussHoist,
  withPickUpsAbove,
  withPickUpsAt,
  withStartOverhang,
  withStation,
  withTruss,
  withTrussHoist,
  type TrussHang,
} from './edit-truss.ts';
import { PointSelect } from './PointSelect.tsx';
import { shownM } from './shown.ts';
import { TextField } from './TextField.tsx';

type Props = { plan: Plan; hang: TrussHang; points: readonly RoofPoint[]; onChange: (hang: TrussHang) => void };

/** A straight truss: where it lies on its hoists, what it is and what hangs on it. */
export function TrussForm({ plan, hang, points, onChange }: Props) {
  const units = useUnits();
  const { build } = hang;
  const set = (change: Parameters<typeof withTruss>[1]) => onChange(withTruss(hang, change));
  const overhangM = startOverhangM(hang);
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.truss.title(lengthText(build.lengthM, units))}</legend>
      <div className="row">
        <NumberField
          label={words.truss.length}
          of="length"
          value={shownM(build.lengthM)}
          fault={isBeyondItsEnds(build) ? words.truss.beyond : null}
          onChange={(lengthM) => lengthM !== null && lengthM > 0 && set({ lengthM })}
        />
        {overhangM !== null && (
          <NumberField
            label={words.truss.overhang}
            of="length"
            value={shownM(overhangM)}
            onChange={(nextM) => nextM !== null && onChange(withStartOverhang(hang, nextM))}
          />
        )}
        <NumberField
          label={words.truss.height}
          of="length"
          value={shownM(build.start.zM + (build.pickUpsAboveM ?? 0))}
          onChange={(zM) => zM !== null && onChange(withPickUpsAt(hang, zM))}
        />
        <NumberField
          label={words.truss.above}
          of="length"
          optional
          value={build.pickUpsAboveM ?? null}
          onChange={(aboveM) => onChange(withPickUpsAbove(hang, aboveM))}
        />
      </div>
      {hang.pickUps.length < 2 && <p className="soft">{words.truss.oneHoist}</p>}
      <Hoists hang={hang} onChange={onChange}>
        <PointSelect
          key={hang.pickUps.length}
          label={hang.pickUps.length < 2 ? words.truss.secondHoist : words.truss.anotherHoist}
          points={points}
          value={null}
          onChange={(point) => onChange(withTrussHoist(plan, hang, point, () => crypto.randomUUID()))}
        />
      </Hoists>
      <Loads build={build} onChange={set} />
      <Section section={build.section} onChange={(section) => set({ section })} />
      <TextField label={words.truss.torsion} value={build.torsionBasis ?? null} onChange={(torsionBasis) => set({ torsionBasis })} />
    </fieldset>
  );
}

function Hoists({ hang, onChange, children }: Pick<Props, 'hang' | 'onChange'> & { children: ReactNode }) {
  const units = useUnits();
  const listed = [...hang.build.pickUps].sort((a, b) => a.atM - b.atM);
  return (
    <fieldset className="stack tight rows">
      <legend>{words.truss.hoists}</legend>
      <p className="soft">{words.truss.hoistsHint}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.truss.hoist}</th>
            <th scope="col">
              {words.truss.station} [{words.units.lengthNames[units.length]}]
            </th>
            <th scope="col">{words.truss.level}</th>
            <th scope="col">
              <span className="unseen">{words.points.remove}</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {listed.map(({ pickUpId, atM, levelMm }) => {
            const chalk = hang.pickUps.find(({ id }) => id === pickUpId)?.chalk ?? words.checks.gone;
            return (
              <tr key={pickUpId}>
                <th scope="row">{chalk}</th>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.truss.station)}
                    of="length"
                    value={shownM(atM)}
                    onChange={(nextM) => nextM !== null && onChange(withStation(hang, pickUpId, nextM))}
                  />
                </td>
                <td>
                  <NumberField
                    isBare
                    label={words.points.cell(chalk, words.truss.level)}
                    of="plain"
                    value={levelMm}
                    onChange={(nextMm) => nextMm !== null && onChange(withLevel(hang, pickUpId, nextMm))}
                  />
                </td>
                <td>
                  <button
                    type="button"
                    className="bare"
                    aria-label={words.points.removeNamed(chalk)}
                    disabled={hang.pickUps.length < 2}
                    onClick={() => onChange(withoutTrussHoist(hang, pickUpId))}
                  >
                    {words.rows.removeMark}
                  </button>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {children}
    </fieldset>
  );
}

const BASES = Object.entries(words.hang.bases).map(([id, label]) => ({ id, label }));
const OF_ALL: readonly Column<'basis' | 'besideM' | 'aboveM'>[] = [
  { name: 'basis', label: words.truss.basis, of: 'named', among: BASES, optional: true },
  { name: 'besideM', label: words.truss.beside, of: 'length', optional: true },
  { name: 'aboveM', label: words.truss.aboveAxis, of: 'length', optional: true },
];
const POINT: readonly Column<keyof TrussLoads['pointLoads'][number]>[] = [
  { name: 'what', label: words.truss.what, of: 'text' },
  { name: 'atM', label: words.truss.at, of: 'length' },
  { name: 'massKg', label: words.truss.mass, of: 'mass', optional: true },
  ...OF_ALL,
];
const SPREAD: readonly Column<keyof TrussLoads['spreadLoads'][number]>[] = [
  { name: 'what', label: words.truss.what, of: 'text' },
  { name: 'fromM', label: words.truss.from, of: 'length' },
  { name: 'toM', label: words.truss.to, of: 'length' },
  { name: 'kgPerM', label: words.truss.kgPerM, of: 'plain', optional: true },
  ...OF_ALL,
];

function Loads({ build, onChange }: { build: TrussLoads; onChange: (change: Partial<TrussLoads>) => void }) {
  return (
    <>
      <LoadRows
        title={words.truss.pointLoads}
        columns={POINT}
        values={build.pointLoads}
        addText={words.truss.addPoint}
        onChange={(pointLoads) => onChange({ pointLoads })}
      />
      <LoadRows
        title={words.truss.spreadLoads}
        columns={SPREAD}
        values={build.spreadLoads}
        addText={words.truss.addSpread}
        onChange={(spreadLoads) => onChange({ spreadLoads })}
      />
    </>
  );
}

type LoadRowsProps<T> = {
  title: string;
  columns: readonly Column<keyof T & string>[];
  values: T[];
  addText: string;
  onChange: (values: T[]) => void;
};

type Typed<T> = { over: T[]; units: Units; rows: readonly Row[]; told: readonly Row[]; isLeft: boolean };

/**
 * Taken over when a cell is left, and then what is wrong with it is said; of one that is still empty when the whole table is. Values from
 * outside, as by undo, take the place of what is typed.
 */
function LoadRows<T extends object>({ title, columns, values, addText, onChange }: LoadRowsProps<T>) {
  const units = useUnits();
  const began = rowsOf(columns, values, units);
  const start: Typed<T> = { over: values, units, rows: began, told: [], isLeft: false };
  const [kept, setTyped] = useState(start);
  const typed = kept.over === values && kept.units === units ? kept : start;
  const read = readRows<T>(columns, typed.rows, units);
  const take = (rows: readonly Row[], isLeft: boolean) => {
    const found = readRows<T>(columns, rows, units).rows;
    const isSame = found === null || JSON.stringify(found) === JSON.stringify(readRows<T>(columns, began, units).rows);
    const next = isSame ? values : [...found];
    setTyped({ over: next, units, rows, told: rows, isLeft });
    if (!isSame) onChange(next);
  };
  const faultOf = (key: number, name: string) => {
    const [now, before] = [typed.rows, typed.told].map((rows) => rows.find((row) => row.key === key)?.cells[name]?.text ?? '');
    return typed.isLeft || (now !== '' && now === before) ? read.fault(key, name) : null;
  };
  return (
    <div
      onBlur={({ currentTarget, relatedTarget }) =>
        take(typed.rows, typed.isLeft || !(relatedTarget instanceof Node && currentTarget.contains(relatedTarget)))
      }
    >
      <RowsField
        isLive
        title={title}
        hint={words.truss.loadsHint}
        columns={columns}
        rows={typed.rows}
        units={units}
        addText={addText}
        faultOf={faultOf}
        onChange={(rows) => (rows.length < typed.rows.length ? take(rows, typed.isLeft) : setTyped({ ...typed, rows }))}
      />
    </div>
  );
}

const NUMBERS = ['selfKgPerM', 'eiKnm2', 'gaKn', 'saggingKnm', 'hoggingKnm', 'shearKn'] as const satisfies readonly (keyof TrussSection)[];

/** Taken from the catalogue as it is now, or typed in. */
function Section({ section, onChange }: { section: TrussSection; onChange: (section: TrussSection) => void }) {
  const catalogue = useQuery(equipmentQuery({ kind: 'truss' }));
  const set = (change: Partial<TrussSection>) => onChange({ ...section, ...change });
  const spans = section.spanTable?.length ?? 0;
  return (
    <fieldset className="stack tight rows">
      <legend>{words.truss.section}</legend>
      <p className="soft">{words.truss.sectionHint}</p>
      {catalogue.isPending && <Loading what={words.equipment.title} />}
      {catalogue.isLoadingError && <ProblemPanel error={catalogue.error} onRetry={() => void catalogue.refetch()} />}
      {catalogue.data && (
        <select
          aria-label={words.truss.take}
          value=""
          onChange={({ target: { value } }) => {
            const data = catalogue.data.items.find(({ id }) => id === value)?.data;
            if (data?.kind === 'truss') onChange(sectionOf(data));
          }}
        >
          <option value="">{words.truss.take}</option>
          {catalogue.data.items.map(({ id, data }) => (
            <option key={id} value={id}>
              {data.name}
            </option>
          ))}
        </select>
      )}
      <div className="row">
        {NUMBERS.map((fact) => (
          <NumberField
            key={fact}
            label={fact === 'shearKn' ? words.truss.shear : factName(fact)}
            of="plain"
            optional
            value={section[fact]}
            onChange={(value) => set({ [fact]: value })}
          />
        ))}
        <BasisSelect
          label={words.truss.selfBasis}
          value={section.selfBasis === undefined ? 'documented' : section.selfBasis}
          onChange={(selfBasis: MassBasis | null) => set({ selfBasis })}
        />
        <NumberField
          label={factName('nodeSpacingM')}
          of="length"
          optional
          value={section.nodeSpacingM}
          onChange={(nodeSpacingM) => set({ nodeSpacingM })}
        />
        <TextField
          label={factName('allowablesBasis')}
          value={section.allowablesBasis}
          onChange={(allowablesBasis) => set({ allowablesBasis })}
        />
      </div>
      {spans > 0 && (
        <p className="row">
          {words.truss.spans(spans)}
          <button type="button" onClick={() => set({ spanTable: null })}>
            {words.truss.noSpans}
          </button>
        </p>
      )}
    </fieldset>
  );
}

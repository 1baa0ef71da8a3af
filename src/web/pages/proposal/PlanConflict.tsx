import { useMemo, useState } from 'react';
import type { Plan } from '../../../domain/plan/plan.ts';
import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { differences, mergePlans, type Clash, type Side } from '../../plan-editing/merge-plans.ts';
import { words } from '../../words.ts';

type Props = { base: Plan; mine: Plan; theirs: Plan; points: readonly RoofPoint[]; onTogether: (plan: Plan) => void };

/** Two people changed one plan: what clashes stands side by side, and each clash is chosen by a person. Nothing is dropped unseen. */
export function PlanConflict({ base, mine, theirs, points, onTogether }: Props) {
  const merge = useMemo(() => mergePlans(base, mine, theirs), [base, mine, theirs]);
  const [chosen, choose] = useState<Readonly<Record<string, Side>>>({});
  const clashes: readonly (readonly [name: string, clash: Clash<unknown>])[] = [
    ...merge.hangs.map((clash) => [(clash.mine ?? clash.theirs ?? clash.base)?.label ?? clash.key, clash] as const),
    ...merge.equipment.map((clash) => [(clash.mine ?? clash.theirs ?? clash.base)?.data.name ?? clash.key, clash] as const),
    ...merge.areas.map((clash) => [words.conflict.areas, clash] as const),
  ];
  const shown = (value: string) => (value === '' ? words.notStated : (points.find(({ id }) => id === value)?.label ?? value));
  const open = clashes.filter(([, { key }]) => chosen[key] === undefined).length;
  return (
    <section role="alert" className="notice bad stack" aria-label={words.conflict.title}>
      <h2>{words.conflict.title}</h2>
      {merge.theirsAlone.length > 0 && <p>{words.conflict.theirsAlone(merge.theirsAlone.join(', '))}</p>}
      <p>{clashes.length === 0 ? words.conflict.noClash : words.conflict.clashes(clashes.length)}</p>
      {clashes.map(([name, clash]) => (
        <ClashTable
          key={clash.key}
          name={name}
          clash={clash}
          shown={shown}
          chosen={chosen[clash.key] ?? null}
          onChoose={(side) => choose((before) => ({ ...before, [clash.key]: side }))}
        />
      ))}
      <div className="row">
        <button
          type="button"
          className="main"
          disabled={open > 0}
          onClick={() => onTogether(merge.together((key) => chosen[key] ?? 'mine'))}
        >
          {words.conflict.together}
        </button>
        <span className="soft">{open > 0 ? words.conflict.open(open) : words.conflict.undo}</span>
      </div>
    </section>
  );
}

type ClashProps = {
  name: string;
  clash: Clash<unknown>;
  shown: (value: string) => string;
  chosen: Side | null;
  onChoose: (side: Side) => void;
};

function ClashTable({ name, clash, shown, chosen, onChoose }: ClashProps) {
  const { key, base, mine, theirs } = clash;
  const whole = (value: unknown) => (value === null ? words.conflict.absent : words.conflict.present);
  const isWhole = mine === null || theirs === null;
  const rows = isWhole ? [] : differences(base, mine, theirs);
  return (
    <fieldset className="sheet stack tight">
      <legend>{name}</legend>
      <div className="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">{words.conflict.fact}</th>
              <th scope="col">{words.conflict.base}</th>
              <th scope="col">{words.conflict.mine}</th>
              <th scope="col">{words.conflict.theirs}</th>
            </tr>
          </thead>
          <tbody>
            {isWhole && (
              <tr>
                <th scope="row">{words.conflict.inPlan}</th>
                <td>{whole(base)}</td>
                <td>{whole(mine)}</td>
                <td>{whole(theirs)}</td>
              </tr>
            )}
            {rows.map(({ path, values }) => (
              <tr key={path}>
                <th scope="row">{path}</th>
                {values.map((value, at) => (
                  <td key={at}>{shown(value)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <div className="row">
        {(['mine', 'theirs'] as const).map((side) => (
          <label key={side} className="row">
            <input type="radio" name={`clash ${key}`} checked={chosen === side} onChange={() => onChoose(side)} />{' '}
            {words.conflict.take[side](name)}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

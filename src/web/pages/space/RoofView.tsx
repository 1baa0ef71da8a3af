import { Fragment, useMemo, useState } from 'react';
import type { Limit, RoofDraft, RoofPoint } from '../../../domain/roof/structure.ts';
import { againstText } from '../../checks/CheckList.tsx';
import { Field } from '../../parts/Field.tsx';
import { Loading } from '../../parts/Loading.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { RoofPlan } from '../../plan/RoofPlan.tsx';
import { sceneOf } from '../../plan/scene.ts';
import { useUnits } from '../../units/units-choice.ts';
import { lengthText } from '../../units/units.ts';
import { words } from '../../words.ts';
import { LowerRating } from './LowerRating.tsx';
import { PlaceLoads } from './PlaceLoads.tsx';
import { PointList } from './PointList.tsx';
import { ratingText } from './rating-text.ts';
import { useRoofDay } from './use-roof-day.ts';

type Roof = Pick<RoofDraft, 'nodes' | 'members' | 'points' | 'limits' | 'keepOuts'>;

/** The roof: bare, or as it is loaded on a day. `versions`: of the working copy, which may be changed. */
export function RoofView({ spaceId, draft, versions }: { spaceId: string; draft: Roof; versions?: Readonly<Record<string, number>> }) {
  const units = useUnits();
  const [selectedId, select] = useState<string | null>(null);
  const { day, choose, loads } = useRoofDay(spaceId);
  const agreed = loads.data?.agreed;
  const scene = useMemo(() => {
    const at = new Map(agreed?.filter(({ kind }) => kind === 'pointDown').map((load) => [load.pointId, load]));
    return sceneOf(draft, (point) => {
      const load = at.get(point.id);
      const isLoaded = load !== undefined && load.demand !== 0;
      const said = () => (isLoaded ? `${words.marks[load.verdict]}, ${againstText(load, units)}` : words.point.states[point.state]);
      return {
        mark: isLoaded ? load.verdict : null,
        utilisation: isLoaded ? load.utilisation : null,
        spoken: () => words.plan.point(point.label, ratingText(point, units), said()),
      };
    });
  }, [draft, agreed, units]);
  const selected = draft.points.find(({ id }) => id === selectedId);
  return (
    <div className="two">
      <div className="stack">
        <div className="row">
          <Field label={words.loads.day} type="date" value={day} onChange={(event) => choose(event.target.value)} />
          {day !== '' && (
            <button type="button" onClick={() => choose('')}>
              {words.loads.bare}
            </button>
          )}
          {loads.isFetching && <Loading what={words.loads.what} />}
        </div>
        {day !== '' && loads.isError && <ProblemPanel error={loads.error} onRetry={() => void loads.refetch()} />}
        <RoofPlan scene={scene} selectedId={selectedId} onSelect={select} />
        {loads.data && <PlaceLoads loads={loads.data.agreed} roof={draft} />}
      </div>
      <div className="stack">
        <section className="sheet stack" aria-live="polite">
          {selected ? <PointFacts point={selected} roof={draft} /> : <p className="soft">{words.space.select}</p>}
          {selected && versions && (
            <LowerRating key={selected.id} spaceId={spaceId} point={selected} version={versions[selected.id] ?? null} />
          )}
        </section>
        <PointList points={draft.points} selectedId={selectedId} onSelect={select} />
      </div>
    </div>
  );
}

function PointFacts({ point, roof }: { point: RoofPoint; roof: Roof }) {
  const units = useUnits();
  const on = point.on.map(({ memberId, stationM }) => {
    const member = roof.members.find(({ id }) => id === memberId);
    return `${member?.label ?? memberId} ${words.point.at(lengthText(stationM, units))}`;
  });
  const limits = roof.limits.filter((limit) => touches(limit, point));
  const { basis } = point.terms;
  const facts: [string, string][] = [
    [words.point.rating, ratingText(point, units)],
    [words.point.height, lengthText(point.zM, units)],
    [words.point.place, `${lengthText(point.xM, units)}, ${lengthText(point.yM, units)}`],
    [words.point.member, on.join('; ') || words.none],
    [words.point.state, words.point.states[point.state] + (point.stateReason ? `: ${point.stateReason}` : '')],
    [words.point.angle, point.maxAngleDeg === null ? words.point.verticalOnly : `${point.maxAngleDeg}°`],
    [words.point.inspection, point.inspectionDueDay ?? words.notStated],
    [words.point.access, point.access ?? words.notStated],
    [words.point.basis, basis === null ? words.notStated : `${basis.document}, ${basis.day}`],
    [words.point.limits, limits.map(({ label }) => label).join(', ') || words.none],
  ];
  return (
    <>
      <h2>{words.point.title(point.label)}</h2>
      <dl className="facts">
        {facts.map(([name, value]) => (
          <Fragment key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </Fragment>
        ))}
      </dl>
    </>
  );
}

function touches(limit: Limit, { id, on }: RoofPoint): boolean {
  switch (limit.kind) {
    case 'group':
    case 'count':
      return limit.pointIds.includes(id);
    case 'weighted':
      return limit.weights.some(({ pointId }) => pointId === id);
    case 'spacing':
    case 'sideways':
    case 'density':
      return on.some(({ memberId }) => memberId === limit.memberId);
    case 'areaDensity':
      return false; // shown by its area, not by points
  }
}

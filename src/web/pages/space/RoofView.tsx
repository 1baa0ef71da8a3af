import { Fragment, useMemo, useState } from 'react';
import type { Limit, RoofDraft, RoofPoint } from '../../../domain/roof/structure.ts';
import { RoofPlan } from '../../plan/RoofPlan.tsx';
import { sceneOf } from '../../plan/scene.ts';
import { useUnits } from '../../units/units-choice.ts';
import { lengthText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';
import { PointList } from './PointList.tsx';
import { ratingText } from './rating-text.ts';

type Roof = Pick<RoofDraft, 'nodes' | 'members' | 'points' | 'limits' | 'keepOuts'>;

export function RoofView({ draft }: { draft: Roof }) {
  const units = useUnits();
  const [selectedId, select] = useState<string | null>(null);
  const scene = useMemo(
    () => sceneOf(draft, (point) => ({ mark: null, utilisation: null, spoken: spokenOf(point, units) })),
    [draft, units],
  );
  const selected = draft.points.find(({ id }) => id === selectedId);
  return (
    <div className="two">
      <RoofPlan scene={scene} selectedId={selectedId} onSelect={select} />
      <div className="stack">
        <section className="sheet stack" aria-live="polite">
          {selected ? <PointFacts point={selected} roof={draft} /> : <p className="soft">{words.space.select}</p>}
        </section>
        <PointList points={draft.points} selectedId={selectedId} onSelect={select} />
      </div>
    </div>
  );
}

const spokenOf = (point: RoofPoint, units: Units): string =>
  words.plan.point(point.label, ratingText(point, units), words.point.states[point.state]);

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

import { useMemo, type ReactNode } from 'react';
import type { Check, PointLoad } from '../../../domain/assessment/assessment.ts';
import type { Hang } from '../../../domain/plan/plan.ts';
import type { PublishedRoof, RoofPoint } from '../../../domain/roof/structure.ts';
import { againstText } from '../../checks/CheckList.tsx';
import { ratingShares, worstByPoint } from '../../checks/order.ts';
import { Elevation } from '../../elevation/Elevation.tsx';
import { hangShapes } from '../../plan/hang-shapes.ts';
import { RoofPlan } from '../../plan/RoofPlan.tsx';
import { sceneOf } from '../../plan/scene.ts';
import { useUnits } from '../../units/units-choice.ts';
import { words } from '../../words.ts';
import { ratingText } from '../space/rating-text.ts';
import { HangList } from './HangList.tsx';

type Props = {
  roof: PublishedRoof;
  hangs: readonly Hang[];
  /** Hangs as they were before what is shown. */
  before?: readonly Hang[];
  checks: readonly Check[];
  loads: readonly PointLoad[];
  selectedHangId: string | null;
  selectedPointId: string | null;
  onSelectHang: (hangId: string | null) => void;
  onSelectPoint: (pointId: string | null) => void;
  beside?: ReactNode;
  above?: ReactNode;
};

/** The plan on the left, the selected hang from the side on the right. */
export function PlanBesideHang({
  roof,
  hangs,
  before,
  checks,
  loads,
  selectedHangId,
  selectedPointId,
  onSelectHang,
  onSelectPoint,
  beside,
  above,
}: Props) {
  const units = useUnits();
  const roofScene = useMemo(() => {
    const worst = worstByPoint(checks);
    const shares = ratingShares(checks);
    const about = (point: RoofPoint) => {
      const check = worst.get(point.id);
      const state = () => (check ? `${words.marks[check.verdict]}, ${againstText(check, units)}` : words.point.states[point.state]);
      return {
        mark: check?.verdict ?? null,
        utilisation: shares.get(point.id) ?? check?.utilisation ?? null,
        spoken: () => words.plan.point(point.label, ratingText(point, units), state()),
      };
    };
    return sceneOf(roof, about);
  }, [roof, checks, units]);
  const scene = useMemo(
    () => ({
      ...roofScene,
      ...hangShapes(hangs, roof.points),
      ghosts: before ? hangShapes(before, roof.points).hangs : [],
    }),
    [roofScene, roof, hangs, before],
  );
  const hang = hangs.find(({ id }) => id === selectedHangId);
  return (
    <div className="two">
      <div className="stack">
        {above}
        <RoofPlan scene={scene} selectedId={selectedPointId} selectedHangId={selectedHangId} onSelect={onSelectPoint} />
        <HangList hangs={hangs} checks={checks} selectedHangId={selectedHangId} onSelect={onSelectHang} />
      </div>
      <div className="sheet stack">
        {hang ? <Elevation hang={hang} points={roof.points} loads={loads} /> : <p className="soft">{words.proposal.selectHang}</p>}
        {beside}
      </div>
    </div>
  );
}

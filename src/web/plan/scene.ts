import type { KeepOut, Member, RoofNode, RoofPoint } from '../../domain/roof/structure.ts';
import type { Mark } from '../parts/StateMark.tsx';

export type PlanPoint = {
  readonly id: string;
  readonly label: string;
  readonly xM: number;
  readonly yM: number;
  /** Null: nothing hangs there, or nothing is asked about. */
  readonly mark: Mark | null;
  readonly utilisation: number | null;
  readonly outOfService: boolean;
  /** What is said of it to whoever does not see the plan, put into words when it is. */
  readonly spoken: () => string;
};
type Corner = { readonly xM: number; readonly yM: number };
export type PlanShape = { readonly id: string; readonly label: string; readonly corners: readonly Corner[] };
export type PlanLine = { readonly id: string; readonly label: string; readonly from: Corner; readonly to: Corner };
export type PlanScene = {
  readonly points: readonly PlanPoint[];
  readonly members: readonly PlanLine[];
  readonly keepOuts: readonly PlanShape[];
  readonly hangs: readonly PlanShape[];
  /** Where hangs are in the plan that this is compared with. */
  readonly ghosts: readonly PlanShape[];
  /** From a pick-up or apex to the point that it goes to. */
  readonly legs: readonly { readonly from: Corner; readonly to: Corner }[];
};

type Structure = {
  readonly nodes: readonly RoofNode[];
  readonly members: readonly Pick<Member, 'id' | 'label' | 'fromNodeId' | 'toNodeId'>[];
  readonly points: readonly RoofPoint[];
  readonly keepOuts: readonly KeepOut[];
};

/** The building's part of a plan. `about` tells what stands at each point. */
export function sceneOf(structure: Structure, about: (point: RoofPoint) => Pick<PlanPoint, 'mark' | 'utilisation' | 'spoken'>): PlanScene {
  const nodes = new Map(structure.nodes.map((node) => [node.id, node]));
  return {
    points: structure.points.map((point) => ({
      id: point.id,
      label: point.label,
      xM: point.xM,
      yM: point.yM,
      outOfService: point.state === 'outOfService',
      ...about(point),
    })),
    members: structure.members.flatMap(({ id, label, fromNodeId, toNodeId }) => {
      const [from, to] = [nodes.get(fromNodeId), nodes.get(toNodeId)];
      return from && to ? [{ id, label, from, to }] : [];
    }),
    keepOuts: structure.keepOuts.map(({ id, label, area }) => ({ id, label, corners: area })),
    hangs: [],
    ghosts: [],
    legs: [],
  };
}

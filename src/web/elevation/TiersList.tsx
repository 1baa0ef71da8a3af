import type { PointLoad } from '../../domain/assessment/assessment.ts';
import { legsOf, placeOnTier } from '../../domain/plan/attachment-places.ts';
import type { Attachment, Tier, TierLeg } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { useUnits } from '../units/units-choice.ts';
import { forceText, lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import { mostPull } from './most-pull.ts';

type Props = {
  chalk: string;
  attachment: Extract<Attachment, { kind: 'tiers' }>;
  points: readonly RoofPoint[];
  loads: readonly PointLoad[];
};

/** Every leg and line of a tree of bridles and spreaders, with the most that it pulls on its point. */
export function TiersList({ chalk, attachment, points, loads }: Props) {
  const units = useUnits();
  const { tiers } = attachment;
  const nameOf = ({ kind, id }: Tier) => words.elevation.tier[kind](id);
  const rows = tiers.flatMap((tier) =>
    legsOf(tier).map((leg: TierLeg & { atM?: number }, index) => {
      const { to } = leg;
      const from = placeOnTier(tiers, { tierId: tier.id, atM: leg.atM ?? null });
      const point = 'pointId' in to ? points.find(({ id }) => id === to.pointId) : undefined;
      const above = 'tierId' in to ? tiers.find(({ id }) => id === to.tierId) : undefined;
      const end = 'tierId' in to ? placeOnTier(tiers, to) : point;
      const lengthM = from && end ? Math.sqrt((end.xM - from.xM) ** 2 + (end.yM - from.yM) ** 2 + (end.zM - from.zM) ** 2) : null;
      return {
        key: `${tier.id} ${index}`,
        from: nameOf(tier),
        to: point?.label ?? (above ? nameOf(above) : words.checks.gone),
        lengthM,
        pull: 'pointId' in to ? mostPull(loads, to.pointId) : null,
      };
    }),
  );
  return (
    <table>
      <caption>{words.elevation.tiers(chalk)}</caption>
      <thead>
        <tr>
          <th scope="col">{words.elevation.from}</th>
          <th scope="col">{words.elevation.to}</th>
          <th scope="col" className="number">
            {words.elevation.length}
          </th>
          <th scope="col" className="number">
            {words.elevation.pull}
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ key, from, to, lengthM, pull }) => (
          <tr key={key}>
            <th scope="row">{from}</th>
            <td>{to}</td>
            <td className="number">{lengthM === null ? words.checks.noNumbers : lengthText(lengthM, units)}</td>
            <td className="number">
              {pull === null
                ? words.checks.noNumbers
                : pull.isLowerBound
                  ? words.elevation.atLeast(forceText(pull.pullKn, units, 'load'))
                  : forceText(pull.pullKn, units, 'load')}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

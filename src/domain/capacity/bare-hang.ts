import type { Hang } from '../plan/plan.ts';
import type { PublishedRoof } from '../roof/structure.ts';

/** A load dead-hung straight down from one point, of a mass that is `kg` once the venue has added what it adds to weighed ones. */
export function bareHang(pointId: string, kg: number, roof: PublishedRoof): Hang {
  const place = roof.points.find(({ id }) => id === pointId) ?? { xM: 0, yM: 0, zM: 0 };
  const massKg = kg / (1 + roof.policy.policy.contingency.weighed);
  const id = `load ${pointId}`;
  return {
    id,
    kind: 'single',
    label: id,
    department: null,
    suppliedBy: null,
    liftOrder: null,
    cue: null,
    up: null,
    trim: null,
    box: null,
    wind: null,
    support: 'hoist',
    items: [{ what: 'load', count: 1, massKg, basis: 'weighed' }],
    cables: [],
    pickUps: [
      {
        id: `${id} line`,
        chalk: '',
        position: { xM: place.xM, yM: place.yM, zM: place.zM - 1 },
        hoist: null,
        lineItems: [],
        cableShare: [],
        attachment: { kind: 'direct', pointId, parts: [] },
        givenLoad: null,
      },
    ],
  };
}

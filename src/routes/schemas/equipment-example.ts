import { EXAMPLE_PLAN } from './plan-example.ts';

/** The invented hoist of the example plan. */
export const EXAMPLE_ITEM = { data: EXAMPLE_PLAN.equipment.hoist!.data, note: 'From its plate and manual.' };

import type { FastifyPluginAsync } from 'fastify';
import { array } from './array.ts';
import { beam } from './beam.ts';
import { bridle, bridleApex } from './bridle.ts';
import type { Calculator } from './calculator.ts';
import { frame } from './frame.ts';
import { hoistLine } from './hoist-line.ts';
import { legParts } from './leg-parts.ts';
import { limits } from './limits.ts';

export const CALCULATORS: readonly Calculator[] = [beam, bridle, bridleApex, array, frame, hoistLine, legParts, limits];

/** Open to everyone, without an account: nothing is read or kept. */
export const calculationsRoutes: FastifyPluginAsync = async (app) => {
  for (const { serve } of CALCULATORS) serve(app);
};

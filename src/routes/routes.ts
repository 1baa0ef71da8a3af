import type { FastifyPluginAsync } from 'fastify';
import { proposalsRoutes } from './proposals/proposals.ts';

/** Under /api/v1. */
export const API_ROUTES: readonly FastifyPluginAsync[] = [proposalsRoutes];
/** At the root: health, metrics, keys, explanations of problems. */
export const ROOT_ROUTES: readonly FastifyPluginAsync[] = [];

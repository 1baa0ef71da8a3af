import type { FastifyPluginAsync } from 'fastify';
import { accessRoutes } from './access/access.ts';
import { auditRoutes } from './audit/audit.ts';
import { acceptInvitationRoutes } from './auth/accept-invitation.ts';
import { accountRoutes } from './auth/account.ts';
import { apiKeysRoutes } from './auth/api-keys.ts';
import { sessionsRoutes } from './auth/sessions.ts';
import { equipmentRoutes } from './equipment/equipment.ts';
import { eventsRoutes } from './events/events.ts';
import { importsRoutes } from './imports/imports.ts';
import { calculationsRoutes } from './calculations/calculations.ts';
import { capacityRoutes } from './loads/capacity.ts';
import { loadsRoutes } from './loads/loads.ts';
import { invitationsRoutes } from './organisations/invitations.ts';
import { membersRoutes } from './organisations/members.ts';
import { organisationsRoutes } from './organisations/organisations.ts';
import { boardRoutes } from './productions/board.ts';
import { productionsRoutes } from './productions/productions.ts';
import { neighboursRoutes } from './proposals/neighbours.ts';
import { proposalsRoutes } from './proposals/proposals.ts';
import { reAssessmentsRoutes } from './revisions/re-assessments.ts';
import { revisionsRoutes } from './revisions/revisions.ts';
import { healthRoutes } from './root/health.ts';
import { problemsRoutes } from './root/problems.ts';
import { securityTxtRoutes } from './root/security-txt.ts';
import { showsRoutes } from './shows/shows.ts';
import { structureRoutes } from './structure/structure.ts';
import { venuesRoutes } from './venues/venues.ts';
import { pagesRoutes } from './web/pages.ts';
import { browserSessionRoutes } from './web/session.ts';

/** Under /api/v1. */
export const API_ROUTES: readonly FastifyPluginAsync[] = [
  sessionsRoutes,
  accountRoutes,
  acceptInvitationRoutes,
  apiKeysRoutes,
  organisationsRoutes,
  membersRoutes,
  invitationsRoutes,
  venuesRoutes,
  structureRoutes,
  importsRoutes,
  revisionsRoutes,
  reAssessmentsRoutes,
  accessRoutes,
  loadsRoutes,
  capacityRoutes,
  equipmentRoutes,
  productionsRoutes,
  boardRoutes,
  showsRoutes,
  proposalsRoutes,
  neighboursRoutes,
  auditRoutes,
  eventsRoutes,
  calculationsRoutes,
];
/** At the root: health, metrics, keys, explanations of problems, and the browser client with its sign-in. */
export const ROOT_ROUTES: readonly FastifyPluginAsync[] = [
  healthRoutes,
  problemsRoutes,
  securityTxtRoutes,
  browserSessionRoutes,
  pagesRoutes,
];

import type { QueryClient } from '@tanstack/react-query';
import {
  meQuery,
  neighboursQuery,
  planQuery,
  productionsQuery,
  proposalQuery,
  roofQuery,
  spaceQuery,
  structureQuery,
} from './api/queries.ts';
import { PLAN_EDITOR, REVIEW } from './pages/proposal/later-views.ts';
import { partQuery } from './parts/Part.tsx';

/** By the first step of its address. */
export const PAGES = {
  desk: partQuery('desk', async () => (await import('./pages/DeskPage.tsx')).DeskPage),
  tour: partQuery('tour', async () => (await import('./pages/tour/TourPage.tsx')).TourPage),
  venues: partQuery('venues', async () => (await import('./pages/VenuesPage.tsx')).VenuesPage),
  access: partQuery('access', async () => (await import('./pages/access/AccessPage.tsx')).AccessPage),
  equipment: partQuery('equipment', async () => (await import('./pages/equipment/EquipmentPage.tsx')).EquipmentPage),
  people: partQuery('people', async () => (await import('./pages/people/PeoplePage.tsx')).PeoplePage),
  spaces: partQuery('spaces', async () => (await import('./pages/space/SpacePage.tsx')).SpacePage),
  proposals: partQuery('proposals', async () => (await import('./pages/proposal/ProposalPage.tsx')).ProposalPage),
};

/**
 * What the address names is fetched at once: who is signed in, the page, and what it reads first. What fails is asked for again when it
 * is shown.
 */
export function fetchAhead({ pathname, search }: Pick<Location, 'pathname' | 'search'>, queries: QueryClient): void {
  const [, page = '', id = ''] = pathname.split('/');
  const known = Object.hasOwn(PAGES, page);
  if (known) void queries.prefetchQuery(PAGES[page as 'desk']);
  if (known || page === '') void queries.prefetchQuery(meQuery());
  if (page === 'spaces' && id !== '') void fetchRoof(id, queries).catch(() => {});
  if (page === 'proposals' && id !== '') void fetchPlan(id, new URLSearchParams(search).get('view'), queries).catch(() => {});
  if (page === 'tour') void queries.prefetchQuery(productionsQuery());
}

/** The working copy is asked for before it is known whether it will be refused, as it is to all but its venue: most who come are of it. */
async function fetchRoof(spaceId: string, queries: QueryClient): Promise<void> {
  void queries.prefetchQuery(structureQuery(spaceId));
  const [me, space] = await Promise.all([queries.fetchQuery(meQuery()), queries.fetchQuery(spaceQuery(spaceId))]);
  if (space.organisationId !== me.actingForOrganisationId && space.latestRevision !== null)
    await queries.prefetchQuery(roofQuery(spaceId, space.latestRevision));
}

/** Of those who may see the working plan, it is what they see first; of others, the review. */
async function fetchPlan(proposalId: string, view: string | null, queries: QueryClient): Promise<void> {
  const { abilities, spaceId, submissions } = await queries.fetchQuery(proposalQuery(proposalId));
  const first = abilities.readWorkingPlan || submissions === 0 ? 'plan' : 'review';
  if ((view ?? first) === 'review') return queries.prefetchQuery(REVIEW);
  if (!abilities.readWorkingPlan || (view ?? first) !== 'plan') return;
  void queries.prefetchQuery(PLAN_EDITOR);
  void queries.prefetchQuery(planQuery(proposalId));
  const { revision } = await queries.fetchQuery(neighboursQuery(proposalId));
  await queries.prefetchQuery(roofQuery(spaceId, revision));
}

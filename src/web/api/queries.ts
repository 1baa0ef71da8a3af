import { infiniteQueryOptions, queryOptions, useQuery } from '@tanstack/react-query';
import type { PublishedRoof } from '../../domain/roof/structure.ts';
import { whenLost } from '../live/live.ts';
import { api, everyPage, pageOf, valueOf } from './client.ts';

/** Each query beside the address that it asks. Keys begin with what is read, so that a change of it can be told. */
export const meQuery = () => queryOptions({ queryKey: ['me'], queryFn: () => valueOf(api.GET('/api/v1/auth/me')), staleTime: 60_000 });
export const useMe = () => useQuery(meQuery());

export const ownVenuesQuery = () =>
  queryOptions({
    queryKey: ['venues', 'own'],
    queryFn: () => everyPage((page) => api.GET('/api/v1/venues', { params: { query: { ...page, own: 'true' } } })),
  });
const VENUES_AT_ONCE = 50;
/** All venues, page by page: there may be very many, and each that is shown asks for its spaces. */
export const venuesQuery = (filter: { name?: string }) =>
  infiniteQueryOptions({
    queryKey: ['venues', 'all', filter],
    initialPageParam: null as string | null,
    queryFn: ({ pageParam }) =>
      pageOf(
        api.GET('/api/v1/venues', {
          params: { query: { limit: VENUES_AT_ONCE, ...(pageParam === null ? {} : { cursor: pageParam }), ...filter } },
        }),
      ),
    getNextPageParam: ({ next }) => next,
  });
export const spacesQuery = (venueId: string) =>
  queryOptions({
    queryKey: ['spaces', venueId],
    queryFn: () => everyPage((page) => api.GET('/api/v1/venues/{venueId}/spaces', { params: { path: { venueId }, query: page } })),
  });
export const spaceQuery = (spaceId: string) =>
  queryOptions({
    queryKey: ['space', spaceId],
    queryFn: () => valueOf(api.GET('/api/v1/spaces/{spaceId}', { params: { path: { spaceId } } })),
    refetchInterval: 20_000, // an opened roof is read without a grant too: who has none hears of no revision
  });
export const structureQuery = (spaceId: string) =>
  queryOptions({
    queryKey: ['structure', spaceId],
    queryFn: () => valueOf(api.GET('/api/v1/spaces/{spaceId}/structure', { params: { path: { spaceId } } })),
  });
export const revisionsQuery = (spaceId: string) =>
  queryOptions({
    queryKey: ['revisions', spaceId],
    queryFn: () => everyPage((page) => api.GET('/api/v1/spaces/{spaceId}/revisions', { params: { path: { spaceId }, query: page } })),
  });
const ASKED_AGAIN_MS = 1_500;
export const reAssessmentQuery = (spaceId: string, number: number) =>
  queryOptions({
    queryKey: ['re-assessment', spaceId, number],
    queryFn: () => valueOf(api.GET('/api/v1/spaces/{spaceId}/re-assessments/{number}', { params: { path: { spaceId, number } } })),
    refetchInterval: ({ state: { data } }) => (data && data.done < data.total ? ASKED_AGAIN_MS : false),
  });
/** Published bytes never change. Their shape is the domain's own, which the document does not repeat. */
export const roofQuery = (spaceId: string, number: number) =>
  queryOptions({
    queryKey: ['roof', spaceId, number],
    queryFn: async () =>
      (await valueOf(
        api.GET('/api/v1/spaces/{spaceId}/revisions/{number}', { params: { path: { spaceId, number } } }),
      )) as unknown as PublishedRoof,
    staleTime: Infinity,
  });
export const changesQuery = (spaceId: string, from: number, to: number) =>
  queryOptions({
    queryKey: ['changes', spaceId, from, to],
    queryFn: () => valueOf(api.GET('/api/v1/spaces/{spaceId}/revisions/{from}/changes/{to}', { params: { path: { spaceId, from, to } } })),
    staleTime: Infinity,
  });

export const policiesQuery = () =>
  queryOptions({ queryKey: ['policies'], queryFn: () => valueOf(api.GET('/api/v1/policies')), staleTime: Infinity });

export const proposalsQuery = (filter: { spaceId?: string; productionId?: string; showId?: string } = {}) =>
  queryOptions({
    queryKey: ['proposals', filter],
    queryFn: () => everyPage((page) => api.GET('/api/v1/proposals', { params: { query: { ...page, ...filter } } })),
    refetchInterval: whenLost(30_000),
  });
export const proposalQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['proposal', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}', { params: { path: { proposalId } } })),
    refetchInterval: whenLost(1_500), // a suspension must be seen on an open page within two seconds
  });
export const planQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['plan', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/plan', { params: { path: { proposalId } } })),
    staleTime: Infinity, // what is being edited is not moved from outside
  });
/** The same as another reads it now, beside the one that is being edited; `since`: the number of the event that told of it. */
export const planThereQuery = (proposalId: string, since: number) =>
  queryOptions({
    queryKey: ['plan-there', proposalId, since],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/plan', { params: { path: { proposalId } } })),
    staleTime: Infinity,
  });
/** The working plan of another show, as it is saved now. */
export const planToCopyQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['plan-to-copy', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/plan', { params: { path: { proposalId } } })),
  });
export const frozenPlanQuery = (proposalId: string, number: number) =>
  queryOptions({
    queryKey: ['frozen-plan', proposalId, number],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/plans/{number}', { params: { path: { proposalId, number } } })),
    staleTime: Infinity,
  });
export const assessmentQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['assessment', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/assessment', { params: { path: { proposalId } } })),
  });
export const commentsQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['comments', proposalId],
    queryFn: () =>
      everyPage((page) => api.GET('/api/v1/proposals/{proposalId}/comments', { params: { path: { proposalId }, query: page } })),
    refetchInterval: whenLost(15_000),
  });
export const decisionsQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['decisions', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/review', { params: { path: { proposalId } } })),
  });
export const productionsQuery = () =>
  queryOptions({
    queryKey: ['productions'],
    queryFn: () => everyPage((page) => api.GET('/api/v1/productions', { params: { query: page } })),
  });
export const neighboursQuery = (proposalId: string) =>
  queryOptions({
    queryKey: ['neighbours', proposalId],
    queryFn: () => valueOf(api.GET('/api/v1/proposals/{proposalId}/neighbours', { params: { path: { proposalId } } })),
    staleTime: 30_000,
  });
export const membersQuery = (organisationId: string) =>
  queryOptions({
    queryKey: ['members', organisationId],
    queryFn: () =>
      everyPage((page) => api.GET('/api/v1/organisations/{organisationId}/members', { params: { path: { organisationId }, query: page } })),
  });
export const invitationsQuery = (organisationId: string) =>
  queryOptions({
    queryKey: ['invitations', organisationId],
    queryFn: () =>
      everyPage((page) =>
        api.GET('/api/v1/organisations/{organisationId}/invitations', { params: { path: { organisationId }, query: page } }),
      ),
  });
type EquipmentFilter = {
  kind?: 'hoist' | 'part' | 'cabinet' | 'arrayFrame' | 'truss' | 'cable';
  library?: 'own' | 'generic';
  name?: string;
  retired?: 'true';
};
export const equipmentQuery = (filter: EquipmentFilter) =>
  queryOptions({
    queryKey: ['equipment', filter],
    queryFn: () => everyPage((page) => api.GET('/api/v1/equipment', { params: { query: { ...page, ...filter } } })),
    placeholderData: (before) => before, // the list does not blink while a name is typed
  });
export const equipmentVersionsQuery = (equipmentId: string) =>
  queryOptions({
    queryKey: ['equipment', 'versions', equipmentId],
    queryFn: () =>
      valueOf(api.GET('/api/v1/equipment/{equipmentId}/versions', { params: { path: { equipmentId }, query: { limit: 100 } } })),
  });
export const equipmentChangesQuery = (equipmentId: string, from: number, to: number) =>
  queryOptions({
    queryKey: ['equipment-changes', equipmentId, from, to],
    queryFn: () =>
      valueOf(api.GET('/api/v1/equipment/{equipmentId}/versions/{from}/changes/{to}', { params: { path: { equipmentId, from, to } } })),
    staleTime: Infinity,
  });
export const accessQuery = () =>
  queryOptions({
    queryKey: ['access'],
    queryFn: () => everyPage((page) => api.GET('/api/v1/access', { params: { query: page } })),
    refetchInterval: 30_000,
  });
export const boardQuery = (productionId: string) =>
  queryOptions({
    queryKey: ['board', productionId],
    queryFn: () =>
      everyPage((page) => api.GET('/api/v1/productions/{productionId}/board', { params: { path: { productionId }, query: page } })),
    refetchInterval: whenLost(30_000),
  });
/** The roof as loaded during a time: the latest revision with all that is agreed, and with what is asked for. */
export const loadsQuery = (spaceId: string, from: string, to: string) =>
  queryOptions({
    queryKey: ['loads', spaceId, from, to],
    queryFn: () => valueOf(api.GET('/api/v1/spaces/{spaceId}/loads', { params: { path: { spaceId }, query: { from, to } } })),
    staleTime: 30_000,
  });

import { useMutation, useQueryClient } from '@tanstack/react-query';
import { api, valueOf } from '../../api/client.ts';

type Kind = 'nodes' | 'members' | 'points' | 'limits' | 'keep-outs' | 'standing-loads';
export type StructureChange =
  { kind: Kind; ifMatch: number | null; item: object } | { kind: 'remove'; of: Kind; id: string; ifMatch: number };

/** All of the changes or none; afterwards the working copy is read anew. */
export function useStructureChange(spaceId: string) {
  const queries = useQueryClient();
  return useMutation({
    mutationFn: (changes: readonly StructureChange[]) =>
      valueOf(
        api.POST('/api/v1/spaces/{spaceId}/structure/batch', {
          params: { path: { spaceId } },
          // The document describes the union of kinds loosely: the service checks each item by its own schema.
          body: { changes: [...changes] as never },
        }),
      ),
    onSuccess: () => queries.invalidateQueries({ queryKey: ['structure', spaceId] }),
  });
}

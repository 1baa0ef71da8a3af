import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import type { Plan } from '../../../domain/plan/plan.ts';
import { api, Refused, valueOf, versionTag } from '../../api/client.ts';
import { planQuery, planThereQuery } from '../../api/queries.ts';
import { useLastEdit } from '../../live/live.ts';

type Saved = { readonly plan: Plan; readonly version: number; readonly sha256: string; readonly readAtMs: number };
type Theirs = { readonly plan: Plan; readonly version: number; readonly sha256: string };

/** The plan as the service has it, beside the one that is drawn here: saving, and what others have saved meanwhile. */
export function useSavedPlan(proposalId: string, start: Theirs) {
  const queries = useQueryClient();
  const [saved, setSaved] = useState<Saved>({ ...start, readAtMs: Date.now() });
  const [theirs, setTheirs] = useState<Theirs | null>(null);
  const [isOnlyAround, setOnlyAround] = useState(false);
  /** `askedAtMs`: what others did after that may not be in it. */
  const know = (known: Theirs, askedAtMs: number) => {
    setSaved({ ...known, readAtMs: askedAtMs });
    queries.setQueryData(planQuery(proposalId).queryKey, (before) => before && { ...before, ...known });
  };
  const save = useMutation({
    mutationFn: async ({ plan, unagree }: { plan: Plan; unagree: boolean }) => {
      const askedAtMs = Date.now();
      setOnlyAround(false);
      const done = await valueOf(
        api.PUT('/api/v1/proposals/{proposalId}/plan', {
          params: {
            path: { proposalId },
            header: { 'if-match': versionTag(saved.version) },
            query: unagree ? { unagree: 'true' } : {},
          },
          body: plan as never,
        }),
      );
      know({ plan, version: done.version, sha256: done.sha256 }, askedAtMs);
    },
    onError: async (error) => {
      if (error instanceof Refused && error.is('version-moved-on')) await lookThere(true);
    },
    onSettled: () => queries.invalidateQueries({ queryKey: ['proposal', proposalId] }),
  });
  /** Gives theirs where there is nothing of one's own to put together with it. */
  const lookThere = async (hasOwn: boolean): Promise<Plan | null> => {
    const askedAtMs = Date.now();
    const there = (await queries.fetchQuery({ ...planThereQuery(proposalId, -1), staleTime: 0 })) as Theirs;
    if (there.sha256 === saved.sha256) {
      know({ plan: saved.plan, version: there.version, sha256: there.sha256 }, askedAtMs);
      setOnlyAround(true);
      return null;
    }
    if (hasOwn) setTheirs(there);
    else know(there, askedAtMs);
    return hasOwn ? null : there.plan;
  };
  const edit = useLastEdit(proposalId, saved.readAtMs);
  const there = useQuery({ ...planThereQuery(proposalId, edit?.number ?? -1), enabled: edit !== null });
  const isChangedThere = !save.isPending && theirs === null && there.data !== undefined && there.data.sha256 !== saved.sha256;
  const hasMoved = save.error instanceof Refused && save.error.is('version-moved-on');
  return {
    saved,
    save,
    /** Somebody has saved another plan: who and when. */
    changedThere: edit !== null && isChangedThere ? edit : null,
    lookThere,
    /** Theirs, where the two have to be put together. */
    theirs,
    /** From here on, theirs is what is saved. */
    settle: (known: Theirs) => {
      know(known, saved.readAtMs);
      setTheirs(null);
      save.reset();
    },
    /** The plan itself is as it was known: saving again is enough. */
    needsAgain: hasMoved && isOnlyAround,
  };
}

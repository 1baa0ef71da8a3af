import { useEffect, useRef, useState } from 'react';
import { pointIdsOf } from '../../../domain/plan/attachment-places.ts';
import type { Hang, Plan } from '../../../domain/plan/plan.ts';
import type { components, paths } from '../../api/generated/schema.ts';
import { api, eventsOf, isProblem, Refused, Unreachable, valueOf } from '../../api/client.ts';

type Question = paths['/api/v1/proposals/{proposalId}/alternatives']['post']['requestBody']['content']['application/json'];
export type Bounds = Required<Omit<Question, 'hangId'>>;
type Found = components['schemas']['Alternatives'];
export type Alternative = Found['results'][number];

/** What the service takes when nothing else is said. */
export const USUAL_BOUNDS: Bounds = { withinM: 12, shift: { xM: 0, yM: 0 }, mostLegs: 3, legAngleDeg: 40, most: 5, budgetS: 10 };

/** Ways assessed, and which hang of how many it is at. */
export type SoFar = { readonly assessed: number; readonly hang: number; readonly ofHangs: number };
type Search =
  | { readonly state: 'none' }
  | { readonly state: 'looking'; readonly sinceMs: number; readonly budgetS: number; readonly soFar: SoFar | null }
  /** `of`: the plan that was looked at; of any other plan the answer says nothing. */
  | { readonly state: 'found'; readonly of: Plan; readonly found: Found }
  | { readonly state: 'failed'; readonly error: unknown };

/** One search at a time. It ends when it is cancelled and when the page is left: the service stops once nobody waits. */
export function useAlternatives(proposalId: string) {
  const [search, set] = useState<Search>({ state: 'none' });
  const running = useRef<AbortController | null>(null);
  useEffect(() => () => running.current?.abort(), []);
  const look = async (hangId: string | null, bounds: Bounds, of: Plan) => {
    running.current?.abort();
    const asked = new AbortController();
    running.current = asked;
    const looking = { state: 'looking', sinceMs: Date.now(), budgetS: bounds.budgetS, soFar: null } as const;
    set(looking);
    try {
      const stream = await valueOf(
        api.POST('/api/v1/proposals/{proposalId}/alternatives', {
          params: { path: { proposalId } },
          body: { hangId, ...bounds },
          headers: { accept: 'text/event-stream' },
          parseAs: 'stream',
          signal: asked.signal,
        }),
      );
      const found = await foundIn(stream as ReadableStream<Uint8Array>, (soFar) => {
        if (running.current === asked) set({ ...looking, soFar });
      });
      if (running.current === asked) set({ state: 'found', of, found });
    } catch (error) {
      if (running.current === asked) set({ state: 'failed', error });
    }
  };
  const forget = () => {
    running.current?.abort();
    running.current = null;
    set({ state: 'none' });
  };
  return { search, look, forget };
}

async function foundIn(stream: ReadableStream<Uint8Array>, onProgress: (soFar: SoFar) => void): Promise<Found> {
  for await (const { event, data } of eventsOf(stream)) {
    if (event === 'found') return data as Found;
    if (event === 'progress') onProgress(data as SoFar);
    if (event === 'failed' && isProblem(data)) throw new Refused(data);
  }
  throw new Unreachable('the search broke off');
}

/** Each hang that an alternative changes takes the place of the one of its id. */
export function withAlternative(plan: Plan, { changes }: Alternative): Plan {
  const changed = new Map(changes.map(({ hang }): [string, Hang] => [hang.id, hang]));
  return { ...plan, hangs: plan.hangs.map((hang) => changed.get(hang.id) ?? hang) };
}

/** Whether the search found the plan's own way among the good ones: nothing goes elsewhere. */
export const isAsItIs = (plan: Plan, { changes }: Alternative): boolean =>
  changes.every(({ hang, moved, holesSwapped }) => {
    const now = plan.hangs.find(({ id }) => id === hang.id);
    return !holesSwapped && moved.xM === 0 && moved.yM === 0 && now !== undefined && waysUp(now) === waysUp(hang);
  });
const waysUp = ({ pickUps }: Hang): string =>
  pickUps
    .map(({ attachment }) => (attachment.kind === 'hang' ? attachment.hangId : [attachment.kind, ...pointIdsOf(attachment)].join()))
    .join(' ');

/** Whether a leg of it has no parts: such a bridle is unknown until its steels are chosen. */
export const wantsSteels = ({ pickUps }: Hang): boolean =>
  pickUps.some(({ attachment }) => attachment.kind === 'bridle' && attachment.legs.some(({ parts }) => parts.length === 0));

import { useQueryClient, type QueryClient } from '@tanstack/react-query';
import { useEffect, useSyncExternalStore } from 'react';
import { acting } from '../api/client.ts';
import { LiveConnection, type Change, type LiveSnapshot, type OpenSubject } from './live-connection.ts';
import { isEdit, isTouched, standsStill } from './touched.ts';

let queries: QueryClient | null = null;

type Edit = { readonly change: Change; readonly heardAtMs: number };
let edits: ReadonlyMap<string, Edit> = new Map();
const editWatchers = new Set<() => void>();
/** One stream for the tab. It is let go while nobody looks, since a browser holds only a few connections to one service. */
const live = new LiveConnection({
  ask: (query, headers, signal) => {
    const organisation = acting.read();
    return fetch(`${location.origin}/api/v1/events${query}`, {
      headers: { ...headers, 'roofbook-page': '1', ...(organisation === null ? {} : { 'acting-organisation': organisation }) },
      signal,
      cache: 'no-store',
    });
  },
  onChanges: (changes) => {
    const heardAtMs = Date.now();
    const edited = changes.filter(isEdit).map((change) => [change.subjectId, { change, heardAtMs }] as const);
    if (edited.length > 0) edits = new Map([...edits, ...edited]);
    for (const watcher of editWatchers) watcher();
    // What is open keeps what is being edited; what is not will be read anew when it is opened.
    const isEdited = (id: unknown) => edited.some(([subjectId]) => subjectId === id);
    queries?.removeQueries({
      type: 'inactive',
      predicate: ({ queryKey: [head, id] }) => (head === 'plan' || head === 'structure') && isEdited(id),
    });
    void queries?.invalidateQueries({ predicate: ({ queryKey }) => changes.some((change) => isTouched(queryKey, change)) });
  },
  onMissed: () => {
    void queries?.invalidateQueries({ predicate: ({ queryKey }) => !standsStill(queryKey) });
  },
  onRefused: () => void queries?.invalidateQueries({ queryKey: ['me'] }),
});

/** Follows what happens for as long as somebody is signed in. */
export function useLiveConnection(): void {
  const client = useQueryClient();
  useEffect(() => {
    queries = client;
    const look = () => (document.visibilityState === 'hidden' ? live.stop() : live.start());
    look();
    document.addEventListener('visibilitychange', look);
    addEventListener('online', live.tryNow);
    addEventListener('offline', live.breakOff);
    return () => {
      document.removeEventListener('visibilitychange', look);
      removeEventListener('online', live.tryNow);
      removeEventListener('offline', live.breakOff);
      live.stop();
    };
  }, [client]);
}

export const useLive = (): LiveSnapshot => useSyncExternalStore(live.watch, live.read);

/** The last change since `sinceMs` of what people edit as a whole. It is told, and not shown until asked for. */
export function useLastEdit(subjectId: string, sinceMs: number): Change | null {
  const last = useSyncExternalStore(watchEdits, () => edits.get(subjectId));
  return last && last.heardAtMs > sinceMs ? last.change : null;
}
function watchEdits(watcher: () => void): () => void {
  editWatchers.add(watcher);
  return () => void editWatchers.delete(watcher);
}

/** Tells others that it is open here, and this page who else has it open. */
export function useOpenHere(kind: OpenSubject['kind'], id: string): void {
  useEffect(() => {
    live.show({ kind, id });
    return () => live.show(null);
  }, [kind, id]);
}

/** Asks again and again only while nothing is heard. */
export const whenLost =
  (everyMs: number): (() => number | false) =>
  () =>
    live.read().state === 'lost' ? everyMs : false;

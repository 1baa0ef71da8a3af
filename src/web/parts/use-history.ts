import { useCallback, useState } from 'react';

const MOST = 100;

/** A value that is edited, with what it was before: undo and redo, a hundred steps. */
export function useHistory<T>(start: T) {
  const [{ past, now, future }, set] = useState<{ past: readonly T[]; now: T; future: readonly T[] }>({ past: [], now: start, future: [] });
  return {
    now,
    change: useCallback(
      (next: T | ((before: T) => T)) =>
        set((old) => ({
          past: [...old.past, old.now].slice(-MOST),
          now: typeof next === 'function' ? (next as (before: T) => T)(old.now) : next,
          future: [],
        })),
      [],
    ),
    undo: useCallback(
      () =>
        set((old) =>
          old.past.length === 0 ? old : { past: old.past.slice(0, -1), now: old.past.at(-1)!, future: [old.now, ...old.future] },
        ),
      [],
    ),
    redo: useCallback(
      () =>
        set((old) => (old.future.length === 0 ? old : { past: [...old.past, old.now], now: old.future[0]!, future: old.future.slice(1) })),
      [],
    ),
    reset: useCallback((value: T) => set({ past: [], now: value, future: [] }), []),
    canUndo: past.length > 0,
    canRedo: future.length > 0,
  };
}

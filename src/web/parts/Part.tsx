import { queryOptions, useQuery } from '@tanstack/react-query';
import type { ReactNode } from 'react';
import { words } from '../words.ts';
import { Loading } from './Loading.tsx';
import { ProblemPanel } from './ProblemPanel.tsx';

/** A part of the application in a file of its own, which is fetched as everything else is: ahead, when it is first wanted, or again. */
export const partQuery = <P,>(name: string, load: () => Promise<P>) =>
  queryOptions({ queryKey: ['part', name], queryFn: load, staleTime: Infinity });

/** Shows it in the very rendering in which it is there. (React's own `lazy` shows its stand-in first, and keeps that for 300 ms.) */
export function Part<P>({ of, children }: { of: ReturnType<typeof partQuery<P>>; children: (found: P) => ReactNode }) {
  const part = useQuery(of);
  if (part.data !== undefined) return children(part.data);
  if (part.isError) return <ProblemPanel error={part.error} onRetry={() => void part.refetch()} />;
  return <Loading what={words.loading.screen} />;
}

import { QueryClient } from '@tanstack/react-query';
import { Refused } from './api/client.ts';
import { fetchAhead } from './pages.ts';

const queries = new QueryClient({
  defaultOptions: {
    // With no network an act fails and says so at once: it is never kept, to be done later when nobody looks.
    mutations: { networkMode: 'always' },
    queries: {
      networkMode: 'always',
      staleTime: 5_000,
      // A refusal will be the same again; no answer may be a gap in the network.
      retry: (times, error) => !(error instanceof Refused) && times < 2,
    },
  },
});

// It is asked before what shows the answers is made ready, which is most of the application.
fetchAhead(location, queries);
const { render } = await import('./render.tsx');
render(queries);

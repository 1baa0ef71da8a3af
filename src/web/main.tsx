import { QueryClient, QueryClientProvider } from '@tanstack/react-query';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Refused } from './api/client.ts';
import { App, fetchAhead } from './App.tsx';

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

fetchAhead(location.pathname, queries);
createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <QueryClientProvider client={queries}>
      <App />
    </QueryClientProvider>
  </StrictMode>,
);

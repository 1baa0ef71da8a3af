import { words } from '../words.ts';

export const Loading = ({ what }: { what: string }) => (
  <p role="status" className="soft">
    {words.loading.of(what)}
  </p>
);

import { useQueryClient } from '@tanstack/react-query';
import { acting, type Me } from '../../api/client.ts';
import { words } from '../../words.ts';
import { PageHeading } from '../../parts/PageHeading.tsx';

/** Whoever belongs to several organisations says once for which they act here. */
export function ChooseOrganisation({ me }: { me: Me }) {
  const queries = useQueryClient();
  return (
    <main className="entry sheet stack">
      <PageHeading name={words.entry.choose} />
      {me.memberships.map(({ organisationId, organisationName }) => (
        <button
          key={organisationId}
          type="button"
          onClick={() => {
            acting.choose(organisationId);
            void queries.invalidateQueries();
          }}
        >
          {organisationName}
        </button>
      ))}
    </main>
  );
}

import { useInfiniteQuery, useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useSearchParams } from 'wouter';
import { api, faultAt, valueOf, type Space } from '../api/client.ts';
import { productionsQuery, spacesQuery, venuesQuery } from '../api/queries.ts';
import { endOfDay, localDay, YEAR_MS } from '../parts/dates.ts';
import { Dialog } from '../parts/Dialog.tsx';
import { Field } from '../parts/Field.tsx';
import { Loading } from '../parts/Loading.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { words } from '../words.ts';
import { PageHeading } from '../parts/PageHeading.tsx';

/** Finding a venue, asking to read its roof, opening a show there. */
export function VenuesPage() {
  const [search, setSearch] = useSearchParams();
  const name = search.get('name') ?? '';
  const venues = useInfiniteQuery(venuesQuery(name === '' ? {} : { name }));
  const found = venues.data?.pages.flatMap(({ items }) => items);
  return (
    <div className="stack">
      <PageHeading name={words.venues.title} />
      <Field
        label={words.venues.search}
        value={name}
        onChange={(event) => setSearch(event.target.value === '' ? {} : { name: event.target.value }, { replace: true })}
      />
      {venues.isPending && <Loading what={words.venues.title} />}
      {venues.isError && <ProblemPanel error={venues.error} onRetry={() => void venues.refetch()} />}
      {found?.length === 0 && <p className="soft">{words.venues.empty}</p>}
      <div className="halves">
        {found?.map((venue) => (
          <article key={venue.id} className="sheet stack tight">
            <h2>{venue.name}</h2>
            <p className="soft">
              {venue.place}, {venue.contactRole}
            </p>
            <Spaces venueId={venue.id} />
          </article>
        ))}
      </div>
      {venues.hasNextPage && (
        <div>
          <button type="button" disabled={venues.isFetchingNextPage} onClick={() => void venues.fetchNextPage()}>
            {words.venues.more}
          </button>
        </div>
      )}
    </div>
  );
}

function Spaces({ venueId }: { venueId: string }) {
  const spaces = useQuery(spacesQuery(venueId));
  if (spaces.isLoadingError) return <ProblemPanel error={spaces.error} onRetry={() => void spaces.refetch()} />;
  return (
    <ul className="hangs">
      {spaces.data?.items.map((space) => (
        <li key={space.id} className="row apart">
          {space.mayReadRoof ? <Link href={`/spaces/${space.id}`}>{space.name}</Link> : <span>{space.name}</span>}
          {space.mayReadRoof ? <OpenShow space={space} /> : <AskAccess space={space} />}
        </li>
      ))}
    </ul>
  );
}

function AskAccess({ space }: { space: Space }) {
  const [isOpen, setOpen] = useState(false);
  const [wasAsked, setAsked] = useState(false);
  return (
    <>
      <button type="button" disabled={wasAsked} onClick={() => setOpen(true)}>
        {wasAsked ? words.venues.asked : words.venues.ask}
      </button>
      {isOpen && <AskDialog space={space} onAsked={() => setAsked(true)} onClose={() => setOpen(false)} />}
    </>
  );
}

function AskDialog({ space, onAsked, onClose }: { space: Space; onAsked: () => void; onClose: () => void }) {
  const [note, setNote] = useState('');
  const [day, setDay] = useState(() => localDay(new Date(Date.now() + YEAR_MS).toISOString()));
  const queries = useQueryClient();
  const until = endOfDay(day);
  const dayFault = until === null ? words.access.noDay : until.getTime() <= Date.now() ? words.access.pastDay : null;
  const ask = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/spaces/{spaceId}/access', {
          params: { path: { spaceId: space.id } },
          body: { note, until: until?.toISOString() ?? '' },
        }),
      ),
    onSuccess: async () => {
      onAsked();
      await Promise.all([queries.invalidateQueries({ queryKey: ['spaces'] }), queries.invalidateQueries({ queryKey: ['access'] })]);
      onClose();
    },
  });
  return (
    <Dialog title={words.venues.askFor(`${space.venueName}, ${space.name}`)} isOpen onClose={onClose}>
      <p>{words.venues.askText}</p>
      <Field label={words.venues.why} value={note} fault={faultAt(ask.error, '/note')} onChange={(event) => setNote(event.target.value)} />
      <Field
        label={words.access.until}
        type="date"
        value={day}
        fault={dayFault ?? faultAt(ask.error, '/until')}
        onChange={(event) => setDay(event.target.value)}
      />
      {ask.isError && <ProblemPanel error={ask.error} />}
      <div className="row">
        <button type="button" onClick={onClose}>
          {words.cancel}
        </button>
        <button type="button" className="main" disabled={dayFault !== null || ask.isPending} onClick={() => ask.mutate()}>
          {words.venues.ask}
        </button>
      </div>
    </Dialog>
  );
}

function OpenShow({ space }: { space: Space }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <button type="button" onClick={() => setOpen(true)}>
        {words.venues.openShow}
      </button>
      {isOpen && <ShowDialog space={space} onClose={() => setOpen(false)} />}
    </>
  );
}

function ShowDialog({ space, onClose }: { space: Space; onClose: () => void }) {
  const productions = useQuery(productionsQuery());
  const [typed, setTyped] = useState({ name: '', from: '', to: '', productionId: '' });
  const queries = useQueryClient();
  const productionId = typed.productionId || productions.data?.items[0]?.id;
  const open = useMutation({
    mutationFn: () =>
      valueOf(
        api.POST('/api/v1/productions/{productionId}/shows', {
          params: { path: { productionId: productionId ?? '' } },
          body: {
            spaceId: space.id,
            name: typed.name,
            from: new Date(typed.from).toISOString(),
            to: new Date(typed.to).toISOString(),
            calls: [],
          },
        }),
      ),
    onSuccess: () => queries.invalidateQueries({ queryKey: ['board'] }),
  });
  const [wasTried, setTried] = useState(false);
  const wrong = {
    productionId: productionId === undefined ? words.venues.noProduction : null,
    name: typed.name.trim() === '' ? words.venues.noName : null,
    from: typed.from === '' ? words.venues.noTime : null,
    to: typed.to === '' ? words.venues.noTime : typed.to <= typed.from ? words.venues.endsFirst : null,
  };
  const isReady = Object.values(wrong).every((one) => one === null);
  const bind = (name: keyof typeof typed) => ({
    value: typed[name],
    fault: (wasTried ? wrong[name] : null) ?? faultAt(open.error, `/${name}`),
    onChange: (event: { target: { value: string } }) => setTyped({ ...typed, [name]: event.target.value }),
  });
  const choose = {
    value: typed.productionId,
    onChange: (event: { target: { value: string } }) => setTyped({ ...typed, productionId: event.target.value }),
  };
  return (
    <Dialog title={`${space.venueName}: ${space.name}`} isOpen onClose={onClose}>
      {open.isSuccess ? (
        <p>
          {words.venues.opened} <Link href="/tour">{words.places.tour}</Link>
        </p>
      ) : (
        <>
          <label className="field">
            <span>{words.venues.production}</span>
            <select {...choose}>
              {productions.data?.items.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </select>
          </label>
          {wrong.productionId && (
            <p className="fault">
              {wrong.productionId} <Link href="/tour">{words.places.tour}</Link>
            </p>
          )}
          <Field label={words.venues.showName} {...bind('name')} />
          <div className="row">
            <Field label={words.venues.from} type="datetime-local" {...bind('from')} />
            <Field label={words.venues.to} type="datetime-local" {...bind('to')} />
          </div>
          {open.isError && <ProblemPanel error={open.error} />}
          <div className="row">
            <button type="button" onClick={onClose}>
              {words.cancel}
            </button>
            <button type="button" className="main" disabled={open.isPending} onClick={() => (isReady ? open.mutate() : setTried(true))}>
              {words.venues.openShow}
            </button>
          </div>
        </>
      )}
    </Dialog>
  );
}

import { useMutation, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { useLocation } from 'wouter';
import { api, faultAt, valueOf } from '../api/client.ts';
import { Field } from '../parts/Field.tsx';
import { ProblemPanel } from '../parts/ProblemPanel.tsx';
import { words } from '../words.ts';

const EXPOSURES = ['indoor', 'covered', 'open'] as const;
const NEW = '';

/** A space of a venue that is entered already, or of a new one. Afterwards its empty roof is open to be drawn. */
export function NewRoof({ venues }: { venues: readonly { id: string; name: string }[] }) {
  const [venueId, setVenueId] = useState(venues[0]?.id ?? NEW);
  const [typed, setTyped] = useState({
    venue: '',
    place: '',
    timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    contactRole: words.newRoof.usualContact,
    space: '',
  });
  const [exposure, setExposure] = useState<(typeof EXPOSURES)[number]>('indoor');
  const [wasTried, setTried] = useState(false);
  const queries = useQueryClient();
  const [, goTo] = useLocation();
  const venue = useMutation({
    mutationFn: async () => {
      const { venue: name, place, timeZone, contactRole } = typed;
      return valueOf(api.POST('/api/v1/venues', { body: { name, place, timeZone, contactRole } }));
    },
    onSuccess: async ({ id }) => {
      await queries.invalidateQueries({ queryKey: ['venues'] });
      setVenueId(id); // where the space is then refused, the venue is not entered twice
    },
  });
  const space = useMutation({
    mutationFn: (id: string) =>
      valueOf(api.POST('/api/v1/venues/{venueId}/spaces', { params: { path: { venueId: id } }, body: { name: typed.space, exposure } })),
    onSuccess: async ({ id }) => {
      await queries.invalidateQueries({ queryKey: ['spaces'] });
      goTo(`/spaces/${id}?view=points`);
    },
  });
  const isNew = venueId === NEW;
  const wanted = isNew ? (['venue', 'place', 'timeZone', 'contactRole', 'space'] as const) : (['space'] as const);
  const isWhole = wanted.every((name) => typed[name].trim() !== '');
  const bind = (name: keyof typeof typed, fault: string | null) => ({
    label: words.newRoof.fields[name],
    value: typed[name],
    fault: fault ?? (wasTried && typed[name].trim() === '' ? words.newRoof.empty[name] : null),
    onChange: (event: { target: { value: string } }) => setTyped({ ...typed, [name]: event.target.value }),
  });
  return (
    <details className="sheet">
      <summary>{words.newRoof.title}</summary>
      <form
        noValidate
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          setTried(true);
          if (!isWhole) return;
          if (isNew) venue.mutate(undefined, { onSuccess: ({ id }) => space.mutate(id) });
          else space.mutate(venueId);
        }}
      >
        {venues.length > 0 && (
          <label className="field">
            <span>{words.newRoof.ofVenue}</span>
            <select value={venueId} onChange={(event) => setVenueId(event.target.value)}>
              {venues.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
              <option value={NEW}>{words.newRoof.newVenue}</option>
            </select>
          </label>
        )}
        {isNew && (
          <div className="row">
            <Field {...bind('venue', faultAt(venue.error, '/name'))} />
            <Field {...bind('place', faultAt(venue.error, '/place'))} />
            <Field {...bind('timeZone', faultAt(venue.error, '/timeZone'))} hint={words.newRoof.timeZoneHint} />
            <Field {...bind('contactRole', faultAt(venue.error, '/contactRole'))} hint={words.newRoof.contactHint} />
          </div>
        )}
        <div className="row">
          <Field {...bind('space', faultAt(space.error, '/name'))} />
          <label className="field">
            <span>{words.newRoof.exposure}</span>
            <select value={exposure} onChange={(event) => setExposure(EXPOSURES.find((one) => one === event.target.value) ?? 'indoor')}>
              {EXPOSURES.map((one) => (
                <option key={one} value={one}>
                  {words.newRoof.exposures[one]}
                </option>
              ))}
            </select>
          </label>
        </div>
        {venue.isError && <ProblemPanel error={venue.error} />}
        {space.isError && <ProblemPanel error={space.error} />}
        <div>
          <button type="submit" className="main" disabled={venue.isPending || space.isPending}>
            {words.newRoof.act}
          </button>
        </div>
      </form>
    </details>
  );
}

import { useQuery } from '@tanstack/react-query';
import { useSearchParams } from 'wouter';
import type { components } from '../../api/generated/schema.ts';
import { loadsQuery } from '../../api/queries.ts';

export type PlaceLoad = components['schemas']['PlaceLoad'];

const nextDay = (day: string): string => {
  const date = new Date(`${day}T00:00`);
  date.setDate(date.getDate() + 1);
  return date.toISOString();
};

/** The roof as loaded on a day, which stands in the address; without one, the bare roof. */
export function useRoofDay(spaceId: string) {
  const [search, setSearch] = useSearchParams();
  const asked = search.get('day') ?? '';
  const day = /^\d{4}-\d{2}-\d{2}$/.test(asked) && !Number.isNaN(Date.parse(asked)) ? asked : '';
  const [from, to] = day === '' ? ['', ''] : [new Date(`${day}T00:00`).toISOString(), nextDay(day)];
  const loads = useQuery({ ...loadsQuery(spaceId, from, to), enabled: day !== '' });
  const choose = (next: string) =>
    setSearch((before) => {
      if (next === '') before.delete('day');
      else before.set('day', next);
      return before;
    });
  return { day, choose, loads };
}

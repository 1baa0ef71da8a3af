import { z } from 'zod';
import { STANDARD_GRAVITY } from '../../domain/foundation/units.ts';

/** Zod numbers are finite. */
export const Figure = z.number();
export const NotNegative = z.number().min(0);
/** A name that the caller gives a part of the question, to find it again in the answer. */
export const PartId = z.string().trim().min(1).max(200);
export const Place = z.strictObject({ xM: Figure, yM: Figure, zM: Figure });
export const Cautions = z.array(z.string()).describe('what this answer does not look at, or should not be trusted for');

/** A list whose ids tell its parts apart. */
export const named = <T extends z.ZodType<{ id: string }>>(part: T, most: number) =>
  z
    .array(part)
    .max(most)
    .superRefine((parts, context) => {
      const seen = new Set<string>();
      for (const [index, { id }] of parts.entries()) {
        if (seen.has(id)) context.addIssue({ code: 'custom', path: [index, 'id'], message: 'another one has this id' });
        seen.add(id);
      }
    });

/** What weighs on a straight length, places measured from its left end. */
export const loadsUpTo = (most: number) => ({
  pointLoads: z
    .array(z.strictObject({ atM: Figure, massKg: NotNegative }))
    .max(most)
    .default([]),
  spreadLoads: z
    .array(z.strictObject({ fromM: Figure, toM: Figure, kgPerM: NotNegative }))
    .max(most)
    .default([]),
});
type Loads = {
  readonly pointLoads: readonly { atM: number; massKg: number }[];
  readonly spreadLoads: readonly { fromM: number; toM: number; kgPerM: number }[];
};
export const weightsOf = ({ pointLoads, spreadLoads }: Loads) => ({
  pointLoads: pointLoads.map(({ atM, massKg }) => ({ atM, forceN: massKg * STANDARD_GRAVITY })),
  spreadLoads: spreadLoads.map(({ fromM, toM, kgPerM }) => ({ fromM, toM, forceNPerM: kgPerM * STANDARD_GRAVITY })),
});

export const Ei = z.strictObject({ eGpa: Figure, iCm4: Figure }).describe('EI [kN·m²] = eGpa · iCm4 / 100');
export const eiNm2Of = (ei: z.output<typeof Ei> | undefined): number | null => (ei === undefined ? null : ei.eGpa * ei.iCm4 * 10);

export const AtPlace = z.object({ value: Figure, atM: Figure.nullable().describe('the leftmost; null for a value of 0') });
export const inThousands = ({ value, atM }: { value: number; atM: number | null }) => ({ value: value / 1000, atM });

export const MassAndForce = z.object({ massKg: Figure, forceKn: Figure });
export const massAndForce = (forceN: number) => ({ forceKn: forceN / 1000, massKg: forceN / STANDARD_GRAVITY });
export const thousandfold = (value: number | null): number | null => (value === null ? null : value * 1000);

import type { components } from '../../api/generated/schema.ts';

export type Item = components['schemas']['Equipment'];

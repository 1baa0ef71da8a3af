import type { Me } from '../../api/client.ts';
import type { components } from '../../api/generated/schema.ts';

export type Member = components['schemas']['Member'];
export type Membership = Me['memberships'][number];

import type { components } from '../../api/generated/schema.ts';

export type Access = components['schemas']['SpaceAccess'];
export type AccessAnswer = 'grant' | 'refuse' | 'end';

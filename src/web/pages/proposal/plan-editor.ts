import { partQuery } from '../../parts/Part.tsx';

/** For those who may see the working plan. */
export const PLAN_EDITOR = partQuery('plan-editor', async () => (await import('./PlanEditor.tsx')).PlanEditor);

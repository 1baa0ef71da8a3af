import { partQuery } from '../../parts/Part.tsx';

// Each of the two sides lands on another of these, and most never open the other's.
export const PLAN_EDITOR = partQuery('plan-editor', async () => (await import('./PlanEditor.tsx')).PlanEditor);
export const REVIEW = partQuery('review', async () => (await import('../review/ReviewView.tsx')).ReviewView);

import type { RoofPoint } from '../../domain/roof/structure.ts';

/** An invented hang point, as the documentation shows it. */
export const EXAMPLE_POINT: RoofPoint = {
  id: 'b0000000-0000-4000-8000-000000000001',
  label: 'G2-L3',
  xM: -6,
  yM: -12,
  zM: 14.2,
  on: [],
  wllKg: 1000,
  reductions: [],
  maxAngleDeg: null,
  maxSidewaysKn: null,
  attachment: 'eye',
  access: 'catwalk',
  state: 'inService',
  stateReason: null,
  outOfService: [],
  inspectionDueDay: '2029-03-31',
  stiffnessKnPerM: null,
  terms: {
    basis: { kind: 'report', day: '2026-03-01', role: 'structural engineer', document: 'Roof report 26-014', standard: null },
    format: { kind: 'working' },
    dynamic: { kind: 'notIncluded' },
    mustInclude: ['load', 'hoist', 'chain', 'legParts'],
    holdsWithOthersLoaded: true,
  },
};

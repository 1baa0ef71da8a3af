import type { EquipmentData } from './plan.ts';

export type EquipmentKind = EquipmentData['kind'];
type Blanks = { readonly [K in EquipmentKind]: Omit<Extract<EquipmentData, { kind: K }>, 'kind' | 'name' | 'part'> };

/** Every fact of each kind, not stated. What a document does not say is filled from here, so a fact that is new here is unknown in old ones. */
export const BLANKS: Blanks = {
  hoist: {
    wllKg: null,
    wllIsNetOf: null,
    bodyKg: null,
    chainKgPerM: null,
    falls: null,
    bagKg: null,
    liftM: null,
    speedMPerMin: null,
    variableSpeed: null,
    dynamicFactor: null,
    shortestHookToHookM: null,
    chainStiffnessKnPerM: null,
    limiterFactor: null,
    mayHoldOverPeople: null,
    mayMoveOverPeople: null,
    needsSecondary: null,
  },
  part: { lengthM: null, massKg: null, wllKg: null, breakingKn: null },
  cabinet: {
    massKg: null,
    basis: null,
    heightM: null,
    depthM: null,
    widthM: null,
    cg: null,
    bottomPivot: null,
    corners: [],
    allowedSplaysDeg: [],
  },
  arrayFrame: { massKg: null, basis: null, cg: null, topPivot: null, bottomPivot: null, holes: [] },
  truss: {
    selfKgPerM: null,
    basis: null,
    nodeSpacingM: null,
    eiKnm2: null,
    eiSidewaysKnm2: null,
    gjKnm2: null,
    gaKn: null,
    cornersStiff: null,
    saggingKnm: null,
    hoggingKnm: null,
    shearKn: null,
    interaction: null,
    allowablesBasis: null,
    spanTable: [],
  },
  cable: { kgPerM: null, basis: null },
};

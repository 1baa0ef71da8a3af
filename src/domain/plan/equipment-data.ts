import type { SidePoint } from '../statics/array-assembly.ts';
import type { MassBasis } from '../statics/hoist-line-take-off.ts';

// What is known of a piece of equipment beside hoists and parts. `null`, and an empty list, mean "not stated".

/** One cabinet of an array, in its side plane: the top pivot is the origin, u forward (where it looks), v up. */
export type CabinetData = {
  kind: 'cabinet';
  name: string;
  massKg: number | null;
  basis: MassBasis | null;
  heightM: number | null;
  depthM: number | null;
  widthM: number | null;
  cg: SidePoint | null;
  bottomPivot: SidePoint | null;
  /** Outline in the side plane. */
  corners: SidePoint[];
  /** Angles to the cabinet above that its hardware can be set to; opens downwards. */
  allowedSplaysDeg: number[];
};
/** The frame at the head of an array, or an adaptor between two kinds of cabinet. Any one origin serves for all its places. */
export type ArrayFrameData = {
  kind: 'arrayFrame';
  name: string;
  massKg: number | null;
  basis: MassBasis | null;
  cg: SidePoint | null;
  /** Of an adaptor: where it hangs from the element above. */
  topPivot: SidePoint | null;
  bottomPivot: SidePoint | null;
  holes: ({ id: string; wllKg: number | null } & SidePoint)[];
};
/** What a maker's table allows on two hoists at this span, without overhang: an even load, or equal loads that divide it evenly. */
export type SpanTableEntry = {
  spanM: number;
  evenKgPerM: number | null;
  points: { count: number; eachKg: number } | null;
};
export type TrussSectionData = {
  kind: 'truss';
  name: string;
  selfKgPerM: number | null;
  basis: MassBasis | null;
  nodeSpacingM: number | null;
  /** Bending under vertical loads, and sideways. */
  eiKnm2: number | null;
  eiSidewaysKnm2: number | null;
  gjKnm2: number | null;
  gaKn: number | null;
  cornersStiff: boolean | null;
  saggingKnm: number | null;
  hoggingKnm: number | null;
  shearKn: number | null;
  /** How moment and shear go together: shares that add up to 1, squares that do, or each full beside the other. */
  interaction: 'linear' | 'squares' | 'independent' | null;
  /** The document that the allowables come from. */
  allowablesBasis: string | null;
  spanTable: SpanTableEntry[];
};
export type CableData = { kind: 'cable'; name: string; kgPerM: number | null; basis: MassBasis | null };

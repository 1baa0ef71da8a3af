import { EQUIPMENT_KINDS, type EquipmentDraft } from './equipment-fields.ts';
import { LABEL_CHARS, number, text, type DraftValue, type KindSpec } from './field-spec.ts';
import { MEMBER_HEADINGS, POINT_HEADINGS } from './heading-words.ts';

/** A roof point as a table tells it. SI; null = not said, which is unknown to every check that needs it. */
export type PointDraft = {
  label: string;
  xM: number | null;
  yM: number | null;
  zM: number | null;
  wllKg: number | null;
  memberLabel: string | null;
  stationM: number | null;
  attachment: string | null;
  access: string | null;
  state: string | null;
  stateReason: string | null;
  inspectionDue: string | null;
  /** Largest angle off vertical. */
  maxAngleDeg: number | null;
  sidewaysKn: number | null;
  basisText: string | null;
};

type MemberDraft = {
  label: string;
  fromNodeLabel: string | null;
  toNodeLabel: string | null;
  fromXM: number | null;
  fromYM: number | null;
  fromZM: number | null;
  toXM: number | null;
  toYM: number | null;
  toZM: number | null;
  selfWeightKgPerM: number | null;
  deadLoadKgPerM: number | null;
  youngsModulusPa: number | null;
  secondMomentM4: number | null;
  basisText: string | null;
};

export type Drafts = {
  points: PointDraft;
  members: MemberDraft;
  hoists: EquipmentDraft;
  parts: EquipmentDraft;
  cabinets: EquipmentDraft;
  trusses: EquipmentDraft;
  cables: EquipmentDraft;
};
export type ImportKind = keyof Drafts;

const TEXT_CHARS = 2000;
// Bounds of the plausible, not of the safe: they catch millimetres read as metres and a slipped digit. Invented.
const FAR_M = 2000;
const MAX_WLL_KG = 200_000;
const MAX_SIDEWAYS_KN = 2000;
const MAX_LINE_LOAD_KG_PER_M = 20_000;

const coordinate = number('length', -FAR_M, FAR_M);

/** Words of venues for a fixed set of values, as `headingKey` writes them. Any other word is asked about. Common practice, no source. */
const ATTACHMENTS = {
  eye: 'eye | eyes | eye bolt | eyebolt | lifting eye | ring | ringose | ose | oese | augenschraube | ringschraube | anneau | oeillet | cancamo | argolla | oog | oogbout',
  clamp:
    'clamp | beam clamp | girder clamp | klemme | tragerklemme | traegerklemme | pince | pince a poutre | mordaza | abrazadera | klem | balkklem',
  wrap: 'wrap | wrapped | umschlingung | umschlungen | omslag',
  node: 'node | panel point | knoten | knotenpunkt | noeud | nudo | knoop | knooppunt',
};
const STATES = {
  'in service':
    'in service | active | in use | usable | in betrieb | aktiv | nutzbar | en service | en servicio | activo | in bedrijf | in gebruik',
  restricted: 'restricted | limited | eingeschrankt | eingeschraenkt | beschrankt | restreint | restringido | limitado | beperkt',
  'out of service':
    'out of service | out of use | not in use | do not use | closed | ausser betrieb | gesperrt | hors service | fuera de servicio | buiten gebruik | buiten dienst | afgekeurd',
};

const textOf = (values: ReadonlyMap<string, DraftValue>, field: string, old: string | null | undefined): string | null => {
  if (!values.has(field)) return old ?? null;
  const value = values.get(field);
  return typeof value === 'string' ? value : null;
};
const numberOf = (values: ReadonlyMap<string, DraftValue>, field: string, old: number | null | undefined): number | null => {
  if (!values.has(field)) return old ?? null;
  const value = values.get(field);
  return typeof value === 'number' ? value : null;
};

const POINTS: KindSpec<PointDraft> = {
  fields: [
    { field: 'label', headings: POINT_HEADINGS.label, ...text(LABEL_CHARS) },
    { field: 'xM', headings: POINT_HEADINGS.xM, ...coordinate },
    { field: 'yM', headings: POINT_HEADINGS.yM, ...coordinate },
    { field: 'zM', headings: POINT_HEADINGS.zM, ...coordinate },
    { field: 'wllKg', headings: POINT_HEADINGS.wllKg, ...number('load', 0, MAX_WLL_KG) },
    { field: 'memberLabel', headings: POINT_HEADINGS.memberLabel, ...text(LABEL_CHARS) },
    { field: 'stationM', headings: POINT_HEADINGS.stationM, ...number('length', 0, FAR_M) },
    { field: 'attachment', headings: POINT_HEADINGS.attachment, is: 'choice', values: ATTACHMENTS },
    { field: 'access', headings: POINT_HEADINGS.access, ...text(TEXT_CHARS) },
    { field: 'state', headings: POINT_HEADINGS.state, is: 'choice', values: STATES },
    { field: 'stateReason', headings: POINT_HEADINGS.stateReason, ...text(TEXT_CHARS) },
    { field: 'inspectionDue', headings: POINT_HEADINGS.inspectionDue, is: 'date' },
    { field: 'maxAngleDeg', headings: POINT_HEADINGS.maxAngleDeg, ...number('angle', 0, 90) },
    { field: 'sidewaysKn', headings: POINT_HEADINGS.sidewaysKn, ...number('force', 0, MAX_SIDEWAYS_KN) },
    { field: 'basisText', headings: POINT_HEADINGS.basisText, ...text(TEXT_CHARS) },
  ],
  wanted: 'a row with headings such as Label, x, y, z, WLL',
  draft: (label, values, old) => ({
    label,
    xM: numberOf(values, 'xM', old?.xM),
    yM: numberOf(values, 'yM', old?.yM),
    zM: numberOf(values, 'zM', old?.zM),
    wllKg: numberOf(values, 'wllKg', old?.wllKg),
    memberLabel: textOf(values, 'memberLabel', old?.memberLabel),
    stationM: numberOf(values, 'stationM', old?.stationM),
    attachment: textOf(values, 'attachment', old?.attachment),
    access: textOf(values, 'access', old?.access),
    state: textOf(values, 'state', old?.state),
    stateReason: textOf(values, 'stateReason', old?.stateReason),
    inspectionDue: textOf(values, 'inspectionDue', old?.inspectionDue),
    maxAngleDeg: numberOf(values, 'maxAngleDeg', old?.maxAngleDeg),
    sidewaysKn: numberOf(values, 'sidewaysKn', old?.sidewaysKn),
    basisText: textOf(values, 'basisText', old?.basisText),
  }),
  missing: (draft) => (['xM', 'yM', 'zM'] as const).filter((field) => draft[field] === null),
};

const FROM = ['fromXM', 'fromYM', 'fromZM'] as const;
const TO = ['toXM', 'toYM', 'toZM'] as const;
const MEMBERS: KindSpec<MemberDraft> = {
  fields: [
    { field: 'label', headings: MEMBER_HEADINGS.label, ...text(LABEL_CHARS) },
    { field: 'fromNodeLabel', headings: MEMBER_HEADINGS.fromNodeLabel, ...text(LABEL_CHARS) },
    { field: 'toNodeLabel', headings: MEMBER_HEADINGS.toNodeLabel, ...text(LABEL_CHARS) },
    { field: 'fromXM', headings: MEMBER_HEADINGS.fromXM, ...coordinate },
    { field: 'fromYM', headings: MEMBER_HEADINGS.fromYM, ...coordinate },
    { field: 'fromZM', headings: MEMBER_HEADINGS.fromZM, ...coordinate },
    { field: 'toXM', headings: MEMBER_HEADINGS.toXM, ...coordinate },
    { field: 'toYM', headings: MEMBER_HEADINGS.toYM, ...coordinate },
    { field: 'toZM', headings: MEMBER_HEADINGS.toZM, ...coordinate },
    { field: 'selfWeightKgPerM', headings: MEMBER_HEADINGS.selfWeightKgPerM, ...number('line-load', 0, MAX_LINE_LOAD_KG_PER_M) },
    { field: 'deadLoadKgPerM', headings: MEMBER_HEADINGS.deadLoadKgPerM, ...number('line-load', 0, MAX_LINE_LOAD_KG_PER_M) },
    // From soft wood across the grain to tungsten; a unit slip falls outside.
    { field: 'youngsModulusPa', headings: MEMBER_HEADINGS.youngsModulusPa, ...number('stress', 1e8, 5e11) },
    { field: 'secondMomentM4', headings: MEMBER_HEADINGS.secondMomentM4, ...number('second-moment', 1e-12, 100) },
    { field: 'basisText', headings: MEMBER_HEADINGS.basisText, ...text(TEXT_CHARS) },
  ],
  wanted: 'a row with headings such as Label, From, To, Self weight',
  draft: (label, values, old) => ({
    label,
    fromNodeLabel: textOf(values, 'fromNodeLabel', old?.fromNodeLabel),
    toNodeLabel: textOf(values, 'toNodeLabel', old?.toNodeLabel),
    fromXM: numberOf(values, 'fromXM', old?.fromXM),
    fromYM: numberOf(values, 'fromYM', old?.fromYM),
    fromZM: numberOf(values, 'fromZM', old?.fromZM),
    toXM: numberOf(values, 'toXM', old?.toXM),
    toYM: numberOf(values, 'toYM', old?.toYM),
    toZM: numberOf(values, 'toZM', old?.toZM),
    selfWeightKgPerM: numberOf(values, 'selfWeightKgPerM', old?.selfWeightKgPerM),
    deadLoadKgPerM: numberOf(values, 'deadLoadKgPerM', old?.deadLoadKgPerM),
    youngsModulusPa: numberOf(values, 'youngsModulusPa', old?.youngsModulusPa),
    secondMomentM4: numberOf(values, 'secondMomentM4', old?.secondMomentM4),
    basisText: textOf(values, 'basisText', old?.basisText),
  }),
  missing: (draft) => [
    ...(draft.fromNodeLabel === null ? FROM.filter((field) => draft[field] === null) : []),
    ...(draft.toNodeLabel === null ? TO.filter((field) => draft[field] === null) : []),
  ],
};

export const KINDS: { readonly [K in ImportKind]: KindSpec<Drafts[K]> } = { points: POINTS, members: MEMBERS, ...EQUIPMENT_KINDS };

import { CABINET_HEADINGS, CABLE_HEADINGS, HOIST_HEADINGS, PART_HEADINGS, TRUSS_HEADINGS } from './equipment-headings.ts';
import { LABEL_CHARS, number, text, type DraftValue, type FieldSpec, type KindSpec } from './field-spec.ts';

/** A piece of equipment as a table tells it, by the names of its facts; yes and no are words, places are two numbers. */
export type EquipmentDraft = { label: string; [fact: string]: DraftValue };
export type EquipmentTable = 'hoists' | 'parts' | 'cabinets' | 'trusses' | 'cables';

// Bounds of the plausible, not of the safe: they catch millimetres read as metres and a slipped digit. Invented.
const mass = number('load', 0, 20_000);
const rating = number('load', 0, 200_000);
const lineMass = number('line-load', 0, 500);
const size = number('length', 0, 50);
const place = number('length', -50, 50);
const factor = number('number', 1, 10);
const stiffness = number('bending-stiffness', 0, 1e9);
const moment = number('moment', 0, 1e5);

/** Words for a fixed set of values, as `headingKey` writes them. Any other word is asked about. Common practice, no source. */
const YES_NO = {
  yes: 'yes | y | true | 1 | x | ja | j | oui | o | si | s',
  no: 'no | n | false | 0 | nein | non | nee',
};
const BASES = {
  weighed: 'weighed | measured | gewogen | pese | pesado',
  documented:
    'documented | document | data sheet | datasheet | manual | maker | manufacturer | datenblatt | hersteller | fiche technique | ficha tecnica | fabrikant',
  estimated: 'estimated | estimate | guess | geschatzt | geschaetzt | estime | estimado | geschat',
};
const NET_OF = {
  hook: 'hook | under the hook | haken',
  hookPlusBody: 'hook and body | hook plus body | hook and hoist | haken und gehause',
};
const PARTS = {
  wireRope:
    'steel | wire rope | wire rope sling | wire rope steel | drahtseil | stahlseil | elingue cable | cable d acier | cable de acero | staalkabel | stropp',
  shackle: 'shackle | bow shackle | schakel | manille | grillete | sluiting | harpsluiting',
  ring: 'ring | master link | pear link | o ring | aufhangering | anneau | anilla | argolla',
  adjuster: 'adjuster | chain adjuster | trim chain | verkurzer | verkuerzer | raccourcisseur | acortador | inkorter',
  spreader: 'spreader | spreader bar | traverse | palonnier | balancin | evenaar',
  textile: 'textile | textile sling | round sling | rundschlinge | hebeband | elingue textile | eslinga textil | rondstrop',
  chain: 'chain | chain sling | kette | elingue chaine | cadena | kettingstrop',
  clamp: 'clamp | beam clamp | klemme | tragerklemme | traegerklemme | pince | mordaza | klem',
  secondary:
    'secondary | safety | safety steel | safety bond | sicherungsseil | safety seil | elingue de securite | eslinga de seguridad | veiligheidskabel',
  loadCell: 'load cell | dynamometer | kraftmessdose | lastmesszelle | cellule de charge | celula de carga | lastcel',
};
const yesNo = { is: 'choice', values: YES_NO } as const;
const basis = { is: 'choice', values: BASES } as const;

/** What each fact is; a table names the item by its label, which is the entry's name. */
function kind<H extends Readonly<Record<string, FieldSpec['headings']>>>(
  headings: H,
  measures: { readonly [F in Exclude<keyof H, 'label'>]: Measure },
  wanted: string,
): KindSpec<EquipmentDraft> {
  const all: Readonly<Record<string, Measure>> = { label: text(LABEL_CHARS), ...measures };
  const fields = Object.entries(all).map(([field, measure]) => ({ field, headings: headings[field]!, ...measure }));
  return {
    fields,
    wanted,
    draft: (label, values, old) => {
      const draft: EquipmentDraft = { label };
      for (const { field } of fields) {
        if (field !== 'label') draft[field] = values.has(field) ? (values.get(field) ?? null) : (old?.[field] ?? null);
      }
      return draft;
    },
    missing: () => [],
  };
}
type Measure = FieldSpec extends infer S ? (S extends FieldSpec ? Omit<S, 'field' | 'headings'> : never) : never;

export const EQUIPMENT_KINDS: Readonly<Record<EquipmentTable, KindSpec<EquipmentDraft>>> = {
  hoists: kind(
    HOIST_HEADINGS,
    {
      wllKg: rating,
      wllIsNetOf: { is: 'choice', values: NET_OF },
      bodyKg: mass,
      chainKgPerM: lineMass,
      falls: number('number', 1, 8),
      bagKg: mass,
      liftM: number('length', 0, 500),
      speedMPerMin: number('speed', 0, 200),
      variableSpeed: yesNo,
      dynamicFactor: factor,
      shortestHookToHookM: size,
      chainStiffnessKnPerM: number('stiffness', 0, 1e6),
      limiterFactor: factor,
      mayHoldOverPeople: yesNo,
      mayMoveOverPeople: yesNo,
      needsSecondary: yesNo,
    },
    'a row with headings such as Name, WLL, Body weight, Chain weight',
  ),
  parts: kind(
    PART_HEADINGS,
    {
      part: { is: 'choice', values: PARTS },
      lengthM: number('length', 0, 200),
      massKg: mass,
      wllKg: rating,
      breakingKn: number('force', 0, 20_000),
    },
    'a row with headings such as Name, Kind, Length, WLL',
  ),
  cabinets: kind(
    CABINET_HEADINGS,
    {
      massKg: mass,
      basis,
      heightM: size,
      depthM: size,
      widthM: size,
      cgUM: place,
      cgVM: place,
      bottomPivotUM: place,
      bottomPivotVM: place,
    },
    'a row with headings such as Name, Weight, Height, Depth',
  ),
  trusses: kind(
    TRUSS_HEADINGS,
    {
      selfKgPerM: lineMass,
      basis,
      nodeSpacingM: size,
      eiKnm2: stiffness,
      eiSidewaysKnm2: stiffness,
      gjKnm2: stiffness,
      gaKn: number('force', 0, 1e9),
      saggingKnm: moment,
      hoggingKnm: moment,
      shearKn: number('force', 0, 1e5),
      allowablesBasis: text(200),
    },
    'a row with headings such as Name, Self weight, Sagging, Shear',
  ),
  cables: kind(CABLE_HEADINGS, { kgPerM: lineMass, basis }, 'a row with headings such as Name, kg per m'),
};

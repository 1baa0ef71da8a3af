import { factName } from '../../parts/fact-text.ts';
import type { Column } from '../../parts/typed-rows.ts';
import { words } from '../../words.ts';
import type { Item } from './item.ts';

export type ItemData = Item['data'];
export type ItemKind = ItemData['kind'];
export const ITEM_KINDS = ['hoist', 'part', 'cabinet', 'arrayFrame', 'truss', 'cable'] as const satisfies readonly ItemKind[];

type Choices = Readonly<Record<string, string>>;
/** How a fact is typed: `place` is two lengths, `list` numbers with semicolons between them, `several` some of the choices. */
export type FactField = { readonly fact: string } & (
  | { readonly of: 'mass' | 'length' | 'plain' | 'yesNo' | 'text' | 'place' | 'list' }
  | { readonly of: 'choice' | 'several'; readonly choices: Choices }
  | { readonly of: 'rows'; readonly columns: readonly Column[]; readonly add: string }
);

const { choices, rows } = words.equipment;
const mass = (fact: string): FactField => ({ fact, of: 'mass' });
const length = (fact: string): FactField => ({ fact, of: 'length' });
const plain = (fact: string): FactField => ({ fact, of: 'plain' });
const yesNo = (fact: string): FactField => ({ fact, of: 'yesNo' });
const place = (fact: string): FactField => ({ fact, of: 'place' });
const choice = (fact: keyof typeof choices): FactField => ({ fact, of: 'choice', choices: choices[fact] });
const SIDE: readonly Column[] = [
  { name: 'uM', label: rows.forward, of: 'length' },
  { name: 'vM', label: rows.up, of: 'length' },
];

const FIELDS: Record<Exclude<ItemKind, 'part'>, readonly FactField[]> = {
  hoist: [
    mass('wllKg'),
    choice('wllIsNetOf'),
    mass('bodyKg'),
    plain('chainKgPerM'),
    plain('falls'),
    mass('bagKg'),
    length('liftM'),
    plain('speedMPerMin'),
    yesNo('variableSpeed'),
    plain('dynamicFactor'),
    length('shortestHookToHookM'),
    plain('chainStiffnessKnPerM'),
    plain('limiterFactor'),
    yesNo('mayHoldOverPeople'),
    yesNo('mayMoveOverPeople'),
    yesNo('needsSecondary'),
  ],
  cabinet: [
    mass('massKg'),
    choice('basis'),
    length('heightM'),
    length('depthM'),
    length('widthM'),
    place('cg'),
    place('bottomPivot'),
    { fact: 'allowedSplaysDeg', of: 'list' },
    { fact: 'corners', of: 'rows', columns: SIDE, add: rows.addCorner },
  ],
  arrayFrame: [
    mass('massKg'),
    choice('basis'),
    place('cg'),
    place('topPivot'),
    place('bottomPivot'),
    {
      fact: 'holes',
      of: 'rows',
      columns: [
        { name: 'id', label: rows.hole, of: 'text' },
        ...SIDE,
        { name: 'wllKg', label: factName('wllKg'), of: 'mass', optional: true },
      ],
      add: rows.addHole,
    },
  ],
  truss: [
    plain('selfKgPerM'),
    choice('basis'),
    length('nodeSpacingM'),
    plain('eiKnm2'),
    plain('eiSidewaysKnm2'),
    plain('gjKnm2'),
    plain('gaKn'),
    yesNo('cornersStiff'),
    plain('saggingKnm'),
    plain('hoggingKnm'),
    plain('shearKn'),
    choice('interaction'),
    { fact: 'allowablesBasis', of: 'text' },
    {
      fact: 'spanTable',
      of: 'rows',
      columns: [
        { name: 'spanM', label: rows.span, of: 'length' },
        { name: 'evenKgPerM', label: rows.even, of: 'plain', optional: true },
        { name: 'count', label: rows.count, of: 'plain', optional: true },
        { name: 'eachKg', label: rows.each, of: 'mass', optional: true },
      ],
      add: rows.addSpan,
    },
  ],
  cable: [plain('kgPerM'), choice('basis')],
};

const SLINGS = ['wireRope', 'textile', 'chain'];
const PULLED_ASIDE = ['adjuster', 'clamp', 'loadCell'];
/** What is asked of a rigging part is what its kind can state. */
function partFields(part: string): readonly FactField[] {
  return [
    choice('part'),
    length('lengthM'),
    mass('massKg'),
    mass('wllKg'),
    plain('breakingKn'),
    ...(SLINGS.includes(part) ? [{ fact: 'hitches', of: 'several', choices: choices.hitches } as const, plain('leastBendRatio')] : []),
    ...(PULLED_ASIDE.includes(part) ? [plain('sideAngleDeg')] : []),
    ...(part === 'shackle' ? [choice('pin')] : []),
    ...(part === 'clamp' ? [length('flangeFromM'), length('flangeToM')] : []),
    ...(part === 'secondary' ? [mass('catchesKg'), length('catchFallM'), plain('catchPeakKn')] : []),
  ];
}

export const fieldsOf = (kind: ItemKind, part: string): readonly FactField[] => (kind === 'part' ? partFields(part) : FIELDS[kind]);

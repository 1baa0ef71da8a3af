import type { Missing } from '../plan/missing.ts';
import { sortedMissing } from '../plan/missing.ts';
import type { Reckoned } from '../plan/hook-load.ts';
import type { CapacityTerms } from '../roof/structure.ts';
import type { Check, CheckKind, Reckoning } from './assessment.ts';

/** What a check may say; what it does not is null or empty. */
type Said = Partial<Omit<Check, 'id' | 'kind'>>;
type Given = Said & Pick<Check, 'verdict'>;

/**
 * Members stand in the order of their names, here and in all that is given, so that writing a check out is writing its canonical bytes.
 * @param subjects  ids of what the check is about: with the kind they make its own id, the same in every assessment
 * @param also      what it says beside that, or instead
 */
export const checkOf = (kind: CheckKind, subjects: readonly string[], given: Given, also?: Said): Check => ({
  ...BLANK,
  ...given,
  ...also,
  id: `${kind}:${subjects.join(':')}`,
  kind,
});

const BLANK: Check = {
  capacity: null,
  case: null,
  counted: [],
  demand: null,
  diagram: null,
  during: null,
  hangId: null,
  hard: true,
  id: '',
  kind: 'policy',
  limitId: null,
  memberId: null,
  pickUpId: null,
  pointId: null,
  reason: null,
  reckoning: [],
  unit: null,
  utilisation: null,
  verdict: 'unknown',
};

/** A doubt or a missing fact, in a code and in words. */
export type Why = { readonly code: string; readonly text: string };

/** All of them in one: the first code stands for the check. */
export function reasonOf(whys: readonly Why[]): Check['reason'] {
  const [first] = whys;
  if (first === undefined) return null;
  return { code: first.code, text: whys.length === 1 ? first.text : [...new Set(whys.map(({ text }) => text))].join('; ') };
}

const WORDS: Readonly<Record<string, string>> = {
  'mass-missing': 'no mass is stated',
  'mass-basis-missing': 'how the mass is known is not stated',
  'no-load-listed': 'nothing is listed as hanging',
  'no-pick-up': 'no pick-up is given',
  'given-loads-short-of-list': 'the given loads add up to less than what is listed',
  'level-envelope-not-given': 'the given loads are not said to hold for hoists out of level by the tolerance of the policy',
  'build-stages-not-given': 'the given loads are not said to hold while some of what hangs is not there yet or is down again',
  'lost-hoist-not-given': 'what the others carry when one hoist is lost is not given',
  'ground-share-not-computed': 'where it stands on the ground, and so how its hoists share the rest, is not computed',
  'falls-of-chain-not-stated': 'the falls of chain are not stated',
  'hoist-speed-not-stated': 'the speed is not stated, so the dynamic factor is not known',
  'hoist-variable-speed-not-stated': 'whether the speed is variable is not stated, so the dynamic factor is not known',
  'dynamic-factor-not-stated': "too fast, or of variable speed, without the maker's dynamic factor",
  'rating-terms-missing': 'what the WLL is net of is not stated',
  'point-missing': 'the roof has no such point',
  'bridle-not-solved': 'the bridle cannot hang as drawn, so what it puts on the point is not known',
  'leg-parts-not-stated': 'the steels of a leg are not chosen, so neither their mass nor their length is known',
  'leg-length-not-known': 'how long a leg is as made is not known, so where its apex comes to rest is not either',
  'leg-length-differs': 'a leg is not made as long as it is drawn, so its apex comes to rest elsewhere',
  'spreader-not-stated': 'which bar it is is not stated, so its mass is not known',
  'spreader-length-not-known': 'the length of the bar is not stated, so where its lines come to rest is not known',
  'spreader-length-differs': 'the bar is not as long as it is drawn, so what hangs on it comes to rest elsewhere',
  'spreader-use-not-covered': 'no document permits its lines and loads at these places and angles: its bending and push are not computed',
  'guy-without-pretension': 'the pretension of a guy is not stated, so what its hang pulls is not known',
  'guy-carries': 'a guy that goes up carries a part of the load, and nobody can tell how much',
  'point-pulled-up': 'it pulls its point upwards, and no capacity says what the point bears that way',
  'anchor-not-stated': 'what the place that it ends at holds is not stated, or not by which document',
  'place-after-loss-not-computed': 'where the hang comes to rest once this line is lost is not computed',
  'swing-after-loss-not-computed':
    'once this line is lost the array swings to the pitch at which its chain alone holds it, and how hard it swings is not computed',
  'line-would-push': 'a line would have to push to hold the hang where it is drawn',
  'hang-off-the-lines-plane': 'the hang is drawn beside the plane of its lines',
  'hang-not-below-hoist': 'the hang is drawn where its line does not let it rest',
  'lines-nearly-parallel':
    'its lines are so nearly parallel, or against each other, that a few millimetres decide what each pulls: end them farther apart',
  'line-beside-side-plane': 'the pull-back ends beside the side plane of the array, and would turn it',
  'line-pulls-nothing': 'the array hangs as drawn by itself, so the line hangs slack: draw the hooks where its pull takes them',
  'line-through-hole': 'the line passes through the hole and turns nothing',
  'chain-hangs-slack': 'at this pitch one of its chains hangs slack: the pull-back and the other one carry all of it',
  'line-may-slacken':
    'what is not certain of its masses, or a load that is missing or lighter as it is built and moved, may leave one of its lines slack, and it would come to rest elsewhere',
  'hooks-beside-side-plane': 'its hooks are drawn beside its side plane',
  'lines-meet-in-one-point': 'all its lines meet in one point, or are as good as parallel: they do not hold it where it is drawn',
  'pull-back-lifts-the-array': 'the line would lift the array off its hoist',
  'truss-not-at-rest': 'its lines and loads do not let the truss rest where it is drawn: draw its hooks where they do',
  'truss-swings-with-loads':
    'lines that splay move the truss along itself when its loads are not just as stated, and what they pull there is not known: run them square across the truss, or hold it along too',
  'guy-holds-as-loads-change':
    'a guy holds the truss where its loads as they change would take it, and pulls more than its pretension there: enter what holds it as a breastline, or draw its hook below its point',
  'lines-share-by-stiffness':
    'its lines pull against each other, and what each takes follows from how stiff it is: leave one out, or enter it as a guy with its pretension',
  'line-beside-chain':
    'the line runs so near to the chain of its hook that a few millimetres decide which of them carries the load: end it farther off',
  'line-has-no-length': 'the line ends where it begins',
  'lines-lift-the-hook': 'the lines would lift the hook off its chain',
  'hooks-not-level':
    'its hooks are drawn at two heights, and what its lines pull along it then shifts load from one to the other: draw them level, or run the lines square across it',
  'truss-would-turn': 'its chains and lines push the truss together so far that it may turn out to the side',
  'hooks-coincide': 'its two hooks are drawn at one place',
  'axial-force-not-covered':
    'its lines pull or push along it by more than its hoists do within the plumb tolerance, and no allowable force covers that: run them square across it',
  'pull-off-the-legs-plane':
    'the pull of the hook leaves the plane of the two legs, and their apex would swing out of where it is drawn: turn the line off plumb into that plane, or use three legs',
  'leg-slackens-under-pull':
    'the pull of the hook leaves a leg of the bridle slack, and its apex would move: spread its points, or draw the hook less far aside',
  'hook-height-not-stated': 'the height of the hook is not stated, so the angle of the line is not known',
  'hook-not-below-point': 'the hook is not below the upper end of its line',
  'catch-not-rated': 'what it can catch is not stated',
  'hitch-not-permitted': 'its document does not permit this hitch',
  'clamp-range-missing': 'which flanges the clamp takes is not stated',
  'flange-too-narrow': 'the flange is narrower than the clamp takes',
  'least-bend-ratio-missing': 'what the sling may bend round is not stated',
  'no-rated-catch': 'what it can catch, from what fall and with what force, is not stated',
  'slack-not-stated': 'how far the load falls before it is taut is not stated',
  'hitch-not-stated': 'how the sling takes hold is not stated, or not how wide it opens',
  'rating-missing': 'no rating is stated',
  'side-angle-missing': 'the angle of the pull across it is not known',
  'bend-ratio-missing': 'what the sling bends round is not stated',
  'included-angle-missing': 'the angle between the legs is not known',
  'three-legs-need-a-ring': 'three legs need a ring',
  'flange-width-missing': 'the width of the flange is not stated',
  'vertical-load-only': 'takes vertical load only',
  'pin-missing': 'the kind of its pin is not stated',
  'side-load-not-marked': 'is not marked for a pull to the side',
  'part-length-missing': 'the length of a part is not stated',
  'shortest-hook-to-hook-missing': 'the shortest hook to hook is not stated',
  'lift-missing': 'the lift is not stated',
  'build-not-stated': 'how it is built is not stated',
  'items-without-place': 'listed items have no place on it',
  'build-equipment-missing': 'the plan lists no equipment of the name that it gives',
  'build-equipment-wrong': 'the equipment that it names is of another kind',
  'hole-not-stated': 'the hole of a pick-up is not stated',
  'frame-pitch-not-stated': 'the frame pitch is not stated',
  'array-not-held': 'its chains cannot hold it so, and what each carries is not known',
  'stage-not-held': 'one chain would go slack at this stage',
  'configuration-not-stated': 'no document of the maker permits this build: forces in links, pins and frame are not computed',
  'pick-up-without-place': 'a pick-up has no place on it',
  'truss-not-solved': 'it cannot hang so, and what each hoist carries is not known',
  'truss-stiffness-not-stated': 'no bending stiffness is stated, so the shares of three or more hoists are not known',
  'allowables-not-stated': 'not all allowable forces are stated',
  'allowables-basis-not-stated': 'where the allowable forces come from is not stated',
  'span-table-not-two-hoists': 'its table of spans holds on two hoists alone, and says nothing here',
  'span-table-overhang': 'its table of spans holds without overhang alone, and says nothing here',
  'span-table-span': 'its table of spans does not reach to this span, and says nothing here',
  'span-table-pattern': 'its table of spans holds for loads that hang otherwise, and says nothing here',
  'interaction-not-stated': 'moment and shear together are beyond the strictest rule, and no other is stated',
  'node-spacing-not-stated': 'where its nodes are is not stated',
  'load-off-node': 'hangs between two nodes',
  'pick-up-height-not-stated': 'how high the pick-ups are on it is not stated, so whether it turns over is not known',
  'load-height-not-stated': 'how high a load sits on it is not stated, so whether it turns over is not known',
  'load-beside-not-stated': 'whether a load hangs on its centre line is not stated',
  'load-beside-centre-line': 'a load hangs beside its centre line, which shifts what each hoist carries',
  'centre-of-gravity-above-pick-ups': 'its centre of gravity is above its pick-ups: it turns over',
  'torsion-not-covered': 'nothing states what torsion it may bear',
  'tips-without-hoist': 'it tips when this hoist is lost',
  'tips-while-built': 'it tips while some of its loads are not there yet or are down again, and what its hoists carry then is not known',
  'stage-not-solved': 'what its hoists carry while some of its loads are not there could not be solved',
  'stages-not-all-solved':
    'its hoists may go slack while it is built, and with so many hoists or loads nothing bounds every choice: state like loads that come up together as one spread load',
  'chain-would-push': 'two chains cannot hold this pitch: one would have to push',
  unstable: 'it tips as it hangs',
  'wind-not-in-limit': 'how much of its wind this member gets is not computed',
  'neighbour-wind-not-stated': 'what wind puts on it is not known here',
  'neighbour-load-incomplete': "something of a neighbour's load is not stated",
};

export const whyMissing = ({ code, of }: Missing): Why => ({ code, text: `${of}: ${WORDS[code] ?? code}` });
export const whysMissing = (facts: readonly Missing[]): Why[] => (facts.length === 0 ? [] : sortedMissing(facts).map(whyMissing));

/** A reckoning of the statics as it is printed. */
export const printed = ({ formula, numbers, unit, source, result }: Reckoned): Reckoning => ({
  formula,
  numbers: numbersText(numbers),
  result: unit === '1' ? String(result) : `${result} ${unit}`,
  source,
});

export function numbersText(numbers: Readonly<Record<string, number>>): string {
  let text = '';
  for (const name in numbers) text += text === '' ? `${name} ${numbers[name]}` : `, ${name} ${numbers[name]}`;
  return text;
}

/** Where a capacity comes from, as a source to print. */
export const basisText = ({ basis }: Pick<CapacityTerms, 'basis'>): string =>
  basis === null ? 'no basis stated' : [basis.kind, basis.standard, basis.document, basis.day].filter((part) => part !== null).join(', ');

import { cos, degToRad, radToDeg, sin } from '../foundation/elementary.ts';
import type { ArrayAtPitch, ArrayError, ArrayStatics, HoleReaction, TwoHoles } from '../statics/array.ts';
import { arrayWhileBuilt, solveArray } from '../statics/array.ts';
import type { ArrayBuild as StaticsBuild, SidePoint } from '../statics/array-assembly.ts';
import { assembleArray, placed } from '../statics/array-assembly.ts';
import type { Contingency, TakeOffRow } from '../statics/hoist-line-take-off.ts';
import { missingMasses } from '../statics/hoist-line-take-off.ts';
import type { HangFinding, HookLoad, HookLoads, Reckoned } from './hook-load.ts';
import { BLANK_FINDING, notHeld } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { ArrayBuild, Hang, MassBasis } from './plan.ts';
import { knownKg, reckonedKg, takeOffRows } from './take-off-items.ts';

type ArrayHang = Extract<Hang, { kind: 'array' }>;

/**
 * An array on one or two plumb chains. Contingency goes where it hurts: onto each hook only the share of it that loads that hook.
 * Moving is the worst of every build stage, level and at the final pitch; a stage that two chains cannot hold hangs on one of them.
 */
export function arrayHookLoads(hang: ArrayHang, contingency: Contingency): HookLoads {
  const { build, pickUps } = hang;
  if (build === null) return notKnown(hang, [], [{ code: 'build-not-stated', of: 'array' }]);
  const parts = arrayParts(build, contingency);
  const rows = parts.map(({ row }) => row);
  const missing: Missing[] = missingMasses(rows);
  if (hang.items.length + hang.cables.length > 0) missing.push({ code: 'items-without-place', of: 'array' });
  if (pickUps.length === 0) missing.push({ code: 'no-pick-up', of: 'hang' });
  const holes = pickUps.map(({ id }) => ({ pickUpId: id, holeId: build.holes.find(({ pickUpId }) => pickUpId === id)?.holeId ?? null }));
  if (holes.some(({ holeId }) => holeId === null)) missing.push({ code: 'hole-not-stated', of: 'array' });
  if (pickUps.length === 2 && build.framePitchDeg === null) missing.push({ code: 'frame-pitch-not-stated', of: 'array' });
  const used = holes.flatMap(({ pickUpId, holeId }) => (holeId === null ? [] : [{ pickUpId, holeId }]));
  if (used.length !== pickUps.length || used.length === 0) return notKnown(hang, rows, missing);
  const isHeldAside = (hang.linesOffPlumb ?? []).length > 0;
  const plain = hung(build, parts, used);
  const whole: Whole = plain.ok || !isHeldAside ? plain : withoutItsLine(parts, used, plain.error);
  const findings = [configurationFinding(build)];
  if (!whole.ok && whole.error.code === 'no-mass') return notKnown(hang, rows, [...missing, { code: 'no-load-listed', of: 'array' }]);
  if (!whole.ok) {
    findings.push(notHeld('configuration', 'pitch', { code: whole.error.code, of: 'array' }, missing));
    return { ...notKnown(hang, rows, [...missing, { code: 'array-not-held', of: 'array' }]), findings };
  }
  const stages = buildStages(build, parts, used);
  const unheld = stages.filter(({ held }) => !held);
  if (unheld.length > 0) {
    const why = unheld.map(({ elements, at }) => ({ code: 'stage-not-held', of: `${elements} elements ${at}` }));
    findings.push({ ...BLANK_FINDING, kind: 'configuration', subject: 'stages', hard: false, case: 'build', state: 'forbidden', why });
  }
  const isDead = pickUps.every(({ hoist }) => hoist === null);
  const hooks = whole.hooks.map((hook): HookLoad => {
    const mostKg = (some: readonly BuildStage[]) =>
      some.reduce((most, one) => Math.max(most, one.hooks.find(({ pickUpId }) => pickUpId === hook.pickUpId)?.kg ?? 0), hook.kg);
    const movingKg = mostKg(stages);
    const hole = used.find(({ pickUpId }) => pickUpId === hook.pickUpId)?.holeId;
    if (!isHeldAside) findings.push(...holeFindings(build, hook.pickUpId, hole, movingKg)); // else at what its line then pulls
    return {
      pickUpId: hook.pickUpId,
      restingKg: hook.kg,
      // Lines that never move hold it at its pitch from the first element on.
      buildKg: isDead ? mostKg(stages.filter(({ at }) => at === 'final')) : movingKg,
      movingKg,
      slackKg: null,
      whenLost: [],
      missing,
      reckonings: [whole.statics === null ? onOneReckoning(build, rows, hook.kg) : reckoningOf(whole.statics, rows, hook.kg)],
    };
  });
  const places = used.map(({ pickUpId, holeId }) => ({
    pickUpId,
    xM: levelHoleUM(build, holeId),
    yM: 0,
  }));
  return { hooks, takeOff: rows, missing, findings, places, cautions: [] };
}

const pitchOf = ({ framePitchDeg }: ArrayBuild): number => degToRad(framePitchDeg ?? 0);

/** Without the maker's word on this build nobody can say that links, pins and frame hold. */
function configurationFinding({ permittedConfiguration }: ArrayBuild): HangFinding {
  const about = { ...BLANK_FINDING, kind: 'configuration', subject: 'permitted' } as const;
  if (permittedConfiguration === null) return { ...about, state: 'unknown', why: [{ code: 'configuration-not-stated', of: 'array' }] };
  return { ...about, state: 'told' };
}

export function holeFindings(build: ArrayBuild, pickUpId: string, holeId: string | undefined, loadKg: number): HangFinding[] {
  const wllKg = build.frame.holes.find(({ id }) => id === holeId)?.wllKg ?? null;
  if (wllKg === null) return []; // then the maker's configuration has to cover it
  return [
    {
      ...BLANK_FINDING,
      kind: 'part',
      subject: `${pickUpId}:hole`,
      pickUpId,
      case: 'moving',
      state: 'compare',
      demand: loadKg,
      capacity: wllKg,
      unit: 'kg',
    },
  ];
}

function reckoningOf({ framePitchRad, cg, holes, reactions }: ArrayStatics, rows: readonly TakeOffRow[], kg: number): Reckoned {
  const rear = reactions.length === 2 ? holes.find(({ id }) => id === reactions[1]?.hole) : undefined;
  const numbers: Record<string, number> = { massKg: knownKg(rows), framePitchDeg: radToDeg(framePitchRad), cgUM: cg.uM };
  if (rear !== undefined) numbers.rearUM = rear.uM;
  return {
    formula: rear === undefined ? 'all on one hole' : 'Σ massKg · share, and of the contingency what loads this hole',
    numbers,
    unit: 'kg',
    source: 'moments about the other hole; u from the front hole',
    result: kg,
  };
}

const onOneReckoning = ({ framePitchDeg }: ArrayBuild, rows: readonly TakeOffRow[], kg: number): Reckoned => ({
  formula: 'without its pull-back all on one hole, and none on the other',
  numbers: { massKg: knownKg(rows), framePitchDeg: framePitchDeg ?? 0 },
  unit: 'kg',
  source: 'two chains alone cannot hold this pitch',
  result: kg,
});

/** Forward along the level, from the frame's origin [m]. */
function levelHoleUM(build: ArrayBuild, holeId: string): number {
  const hole = build.frame.holes.find(({ id }) => id === holeId) ?? { uM: 0, vM: 0 };
  return hole.uM * cos(pitchOf(build)) - hole.vM * sin(pitchOf(build));
}

/** Nothing of the split is known: each hook may carry anything. */
function notKnown(hang: Hang, takeOff: readonly TakeOffRow[], missing: readonly Missing[]): HookLoads {
  const hooks = hang.pickUps.map(({ id }): HookLoad => ({
    pickUpId: id,
    restingKg: 0,
    buildKg: 0,
    movingKg: 0,
    slackKg: null,
    whenLost: [],
    missing,
    reckonings: [],
  }));
  return { hooks, takeOff, missing, findings: [], places: [], cautions: [] };
}

export type ArrayPart = { readonly on: 'frame' | number; readonly at: SidePoint; readonly row: TakeOffRow };

export function arrayParts(build: ArrayBuild, contingency: Contingency): ArrayPart[] {
  const item = (id: string, massKg: number | null, basis: MassBasis | null) =>
    ({ id, kind: 'equipment', place: 'below-hook', massKg, basis }) as const;
  const listed = [
    { on: 'frame' as const, at: build.frame.cg, item: item('array frame', build.frame.massKg, build.frame.basis) },
    ...build.elements.map(({ massKg, basis, cg }, index) => ({ on: index, at: cg, item: item(`element ${index}`, massKg, basis) })),
    ...build.extras.map(({ on, uM, vM, massKg, basis }, index) => ({ on, at: { uM, vM }, item: item(`extra ${index}`, massKg, basis) })),
  ];
  const rows = takeOffRows(
    listed.map((one) => one.item),
    contingency,
  );
  const parts: ArrayPart[] = [];
  for (const [index, row] of rows.entries()) {
    const part = listed[index];
    if (part !== undefined) parts.push({ on: part.on, at: part.at, row });
  }
  return parts;
}

type UsedHole = { readonly pickUpId: string; readonly holeId: string };
type HookKg = { readonly pickUpId: string; readonly kg: number };
type Held = { readonly ok: true; readonly statics: ArrayStatics; readonly hooks: readonly HookKg[] };
type Stage = Held | { readonly ok: false; readonly error: ArrayError };
type Whole = Stage | { readonly ok: true; readonly statics: null; readonly hooks: readonly HookKg[] };

/** At a pitch that only its pull-back holds, one chain carries all for as long as that is not made fast; the other is slack. */
function withoutItsLine(parts: readonly ArrayPart[], used: readonly UsedHole[], error: ArrayError): Whole {
  if (error.code !== 'chain-would-push') return { ok: false, error };
  const wholeKg = reckonedKg(parts.map(({ row }) => row));
  return { ok: true, statics: null, hooks: used.map(({ pickUpId, holeId }) => ({ pickUpId, kg: holeId === error.hole ? 0 : wholeKg })) };
}

/** All of the build on the holes in use. */
function hung(build: ArrayBuild, parts: readonly ArrayPart[], used: readonly UsedHole[]): Stage {
  const [front, rear] = frontFirst(build, used);
  const statics = solveArray(
    staticsBuild(build, parts, build.elements.length),
    rear === undefined ? { on: 'one-hole', hole: front.holeId } : onTwo(front, rear, pitchOf(build)),
  );
  if (!statics.ok) return statics;
  if (rear === undefined)
    return { ok: true, statics: statics.value, hooks: [{ pickUpId: front.pickUpId, kg: reckonedKg(parts.map(({ row }) => row)) }] };
  const { reactions } = statics.value;
  return { ok: true, statics: statics.value, hooks: hooksOf(front, rear, reactions, levelParts(build, statics.value, front, rear, parts)) };
}

const onTwo = (front: UsedHole, rear: UsedHole, framePitchRad: number): TwoHoles => ({
  on: 'two-holes',
  frontHole: front.holeId,
  rearHole: rear.holeId,
  framePitchRad,
});

/** Of two holes the one further forward comes first. */
function frontFirst(build: ArrayBuild, used: readonly UsedHole[]): readonly [UsedHole, UsedHole | undefined] {
  const uOf = ({ holeId }: UsedHole) => build.frame.holes.find(({ id }) => id === holeId)?.uM ?? 0;
  const [first, second] = [...used].sort((a, b) => uOf(b) - uOf(a));
  if (first === undefined) throw new Error('an array hangs on one hole at least');
  return [first, second];
}

/** A part with what its contingency adds, and the shares of it that load the front hole and the rear one: 0 where it relieves. */
type LevelPart = Pick<ArrayPart, 'on'> & { readonly moreKg: number; readonly frontShare: number; readonly rearShare: number };

function levelParts(
  build: ArrayBuild,
  { framePitchRad, elements, holes }: ArrayAtPitch,
  front: UsedHole,
  rear: UsedHole,
  parts: readonly ArrayPart[],
): LevelPart[] {
  const uOf = ({ holeId }: UsedHole) => holes.find(({ id }) => id === holeId)?.uM ?? 0;
  const [frontM, rearM] = [uOf(front), uOf(rear)];
  const origin = build.frame.holes.find(({ id }) => id === front.holeId) ?? { uM: 0, vM: 0 };
  const [c, s] = [cos(framePitchRad), sin(framePitchRad)];
  return parts.map(({ on, at, row }) => {
    const element = on === 'frame' ? undefined : elements[on];
    if (on !== 'frame' && element === undefined) throw new Error('a pinned element has a place');
    const uM =
      element === undefined
        ? frontM + (at.uM - origin.uM) * c - (at.vM - origin.vM) * s
        : placed(element.top, cos(element.pitchRad), sin(element.pitchRad), at).uM;
    return {
      on,
      moreKg: (row.reckonedKg ?? 0) - (row.massKg ?? 0),
      frontShare: Math.max(0, (uM - rearM) / -rearM),
      rearShare: Math.max(0, uM / rearM),
    };
  });
}

function hooksOf(front: UsedHole, rear: UsedHole, reactions: readonly HoleReaction[], pinned: readonly LevelPart[]): HookKg[] {
  const hookOf = ({ pickUpId, holeId }: UsedHole, share: 'frontShare' | 'rearShare'): HookKg => {
    const atRestKg = reactions.find(({ hole }) => hole === holeId)?.massKg ?? 0;
    return { pickUpId, kg: atRestKg + pinned.reduce((sum, part) => sum + part.moreKg * part[share], 0) };
  };
  return [hookOf(front, 'frontShare'), hookOf(rear, 'rearShare')];
}

export function staticsBuild(build: ArrayBuild, pinned: readonly ArrayPart[], elements: number): StaticsBuild {
  const massOf = (id: string) => pinned.find(({ row }) => row.id === id)?.row.massKg ?? 0;
  return {
    frame: { massKg: massOf('array frame'), cg: build.frame.cg, bottomPivot: build.frame.bottomPivot, holes: build.frame.holes },
    elements: build.elements.slice(0, elements).map(({ cg, bottomPivot, corners, splayDeg }, index) => ({
      massKg: massOf(`element ${index}`),
      cg,
      bottomPivot,
      corners,
      splayRad: degToRad(splayDeg),
    })),
    extraMasses: build.extras
      .map(({ on, uM, vM }, index) => ({ on, uM, vM, massKg: massOf(`extra ${index}`) }))
      .filter(({ on }) => on === 'frame' || on < elements),
  };
}

type BuildStage = { readonly elements: number; readonly at: 'level' | 'final'; readonly held: boolean; readonly hooks: readonly HookKg[] };

/** Frame alone, and after each stack is pinned, level and at the final pitch; the whole array too, on its way from one to the other. */
function buildStages(build: ArrayBuild, parts: readonly ArrayPart[], used: readonly UsedHole[]): BuildStage[] {
  const [front, rear] = frontFirst(build, used);
  if (rear === undefined) return []; // one chain carries what is there: never more than all of it
  const counts = [0];
  for (const size of build.stackSizes) counts.push(Math.min(build.elements.length, (counts.at(-1) ?? 0) + size));
  if (counts.at(-1) !== build.elements.length) counts.push(build.elements.length);
  const array = assembleArray(staticsBuild(build, parts, build.elements.length));
  if (!array.ok) throw new Error('an array that was solved has stages');
  const pitches = (['level', 'final'] as const).map((at) => {
    const built = arrayWhileBuilt(array.value, onTwo(front, rear, at === 'level' ? 0 : pitchOf(build)));
    if (!built.ok) throw new Error('an array that was solved has stages');
    return { at, upTo: built.value.upTo, parts: levelParts(build, built.value, front, rear, parts) };
  });
  const stages: BuildStage[] = [];
  for (const elements of counts) {
    const isPinned = ({ on }: Pick<ArrayPart, 'on'>) => on === 'frame' || on < elements;
    for (const pitch of pitches) {
      const { at } = pitch;
      const found = pitch.upTo(elements);
      if (!found.ok) {
        const allKg = reckonedKg(parts.filter(isPinned).map(({ row }) => row));
        stages.push({ elements, at, held: false, hooks: used.map(({ pickUpId }) => ({ pickUpId, kg: allKg })) });
      } else if (found.value.some(({ massKg }) => massKg > 0)) {
        stages.push({ elements, at, held: true, hooks: hooksOf(front, rear, found.value, pitch.parts.filter(isPinned)) });
      }
    }
  }
  return stages;
}

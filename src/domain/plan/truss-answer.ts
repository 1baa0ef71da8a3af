import type { Result } from '../foundation/result.ts';
import type { SolvedTruss, TrussCase, TrussError, TrussHang as StaticsHang } from '../statics/truss.ts';
import { solveTruss } from '../statics/truss.ts';
import type { SpanTableCheck } from '../statics/truss-table.ts';
import { stagedTruss } from '../statics/truss-stages.ts';
import type { Missing } from './missing.ts';
import type { TrussSection } from './plan.ts';
import type { TrussBuildLoads } from './truss-build.ts';
import { trussBuild } from './truss-build.ts';
import { spanAnswer } from './truss-span.ts';
import { TrussStrength } from './truss-strength.ts';
import type { TrussForces } from './truss-weights.ts';

/** All that the statics of a straight truss depend on, and nothing else: not where it hangs, nor what anything of it is called. */
export type TrussQuestion = {
  readonly lengthM: number;
  readonly section: TrussSection;
  readonly known: TrussForces;
  readonly reckoned: TrussForces;
  /** In the order of the pick-ups. */
  readonly hoists: readonly { readonly atM: number; readonly levelM: number; readonly stiffnessNPerM: number | null }[];
  readonly isDead: boolean;
  readonly movingFactor: number;
  readonly levelRestM: number;
  readonly levelMovingM: number;
};

export type TrussAnswer = {
  /** With every contingency, then without any: what weighs less may load another hoist more. */
  readonly reckoned: Result<SolvedTruss, TrussError>;
  readonly known: Result<SolvedTruss, TrussError>;
  readonly missing: readonly Missing[];
  readonly stages: TrussBuildLoads;
  /** With every contingency; null = no table of spans. */
  readonly span: SpanTableCheck | null;
  /** Has seen every case. */
  readonly strength: TrussStrength;
};

/** A hoist is called by its number in the question. */
export function answerTruss(question: TrussQuestion): TrussAnswer {
  const strength = new TrussStrength(question.section, question.movingFactor);
  const see = (one: TrussCase) => strength.see(one.case, one.beam);
  const reckoned = solved(question, 'reckoned', see);
  const known = solved(question, 'known', see);
  const isSolved = reckoned.answer.ok && known.answer.ok;
  return {
    reckoned: reckoned.answer,
    known: known.answer,
    missing: reckoned.missing,
    stages: isSolved ? stagesOf(question, strength) : { restingN: [], movingN: [], missing: [], findings: [], cautions: [] },
    span: spanAnswer(question.section, staticsHang(question, 'reckoned', null), question.movingFactor),
    strength,
  };
}

/** In every stage the truss hangs, with what its own weight may be more or not; a load is there, with its contingency, or it is not. */
function stagesOf(question: TrussQuestion, strength: TrussStrength): TrussBuildLoads {
  const { hoists, section, known, isDead, levelRestM, levelMovingM } = question;
  const isStiff = hoists.length < 3 || (section.eiKnm2 ?? 0) > 0;
  const whole = staticsHang(question, 'reckoned', isStiff ? null : 1);
  const staged = stagedTruss({ ...whole, selfNPerM: known.selfNPerM }, whole.selfNPerM - known.selfNPerM);
  if (!staged.ok) {
    const why = { code: 'stage-not-solved', of: 'truss' };
    return { restingN: [], movingN: [], missing: [why], findings: [], cautions: [] };
  }
  const rules = isStiff ? { levelRestM, levelMovingM } : { levelRestM: 0, levelMovingM: 0 };
  const ids = hoists.map((_, hoist) => String(hoist));
  return trussBuild({ ids, isDead }, [staged.value], rules, strength);
}

type Solved = { readonly answer: Result<SolvedTruss, TrussError>; readonly missing: readonly Missing[] };

/** Three or more hoists share by stiffness. Where none is stated any does for a level hang, and the shares are told as not known. */
function solved(question: TrussQuestion, how: 'known' | 'reckoned', see: (one: TrussCase) => void): Solved {
  const tolerances = { restM: question.levelRestM, movingM: question.levelMovingM };
  const answer = solveTruss(staticsHang(question, how, null), tolerances, see);
  if (answer.ok || answer.error.code !== 'stiffness-needed') return { answer, missing: [] };
  return {
    answer: solveTruss(staticsHang(question, how, 1), { restM: 0, movingM: 0 }, see),
    missing: [{ code: 'truss-stiffness-not-stated', of: 'truss' }],
  };
}

/** @param otherwiseNm2  stands for a bending stiffness that is not stated; levels and stretch are then left out */
function staticsHang(question: TrussQuestion, how: 'known' | 'reckoned', otherwiseNm2: number | null): StaticsHang {
  const { eiKnm2, gaKn } = question.section;
  const isKnown = eiKnm2 !== null && eiKnm2 > 0;
  const isLevel = !isKnown && otherwiseNm2 !== null;
  return {
    lengthM: question.lengthM,
    ...question[how],
    eiNm2: isKnown ? eiKnm2 * 1000 : otherwiseNm2,
    gaN: gaKn === null || gaKn === 0 ? null : gaKn * 1000,
    hoists: question.hoists.map(({ atM, levelM, stiffnessNPerM }, hoist) =>
      isLevel ? { id: String(hoist), atM, levelM: 0, stiffnessNPerM: null } : { id: String(hoist), atM, levelM, stiffnessNPerM },
    ),
  };
}

/** So many answers are kept: a large show has fewer kinds of truss. */
const MOST_KEPT = 200;

/** Trusses that are alike are solved once: four of one rig, or one that is moved about the roof. Changes no result. */
export class LikeTrusses {
  private readonly answers = new Map<string, TrussAnswer>();

  answer(question: TrussQuestion): TrussAnswer {
    const key = JSON.stringify(question); // every number in full: what differs in its last digit is another truss
    const before = this.answers.get(key);
    if (before !== undefined) return before;
    const [oldest] = this.answers.keys();
    if (this.answers.size >= MOST_KEPT && oldest !== undefined) this.answers.delete(oldest);
    const answer = answerTruss(question);
    this.answers.set(key, answer);
    return answer;
  }
}

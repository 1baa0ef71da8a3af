import type { ForceLine } from '../statics/beam-extremes.ts';
import type { StagedHang, StageShares, StageSide } from '../statics/staged-hang.ts';
import { KIND_OF_SENSE } from '../statics/stage-targets.ts';
import type { TrussCheck } from '../statics/truss-check.ts';
import type { SpanTableCheck } from '../statics/truss-table.ts';
import { TrussChecker } from '../statics/truss-check.ts';
import type { HangFinding } from './hook-load.ts';
import { BLANK_FINDING } from './hook-load.ts';
import type { Missing } from './missing.ts';
import type { TrussSection } from './plan.ts';
import { spanFindings } from './truss-span.ts';

/** In the order of the ids of their checks. */
const UNITS = { sagging: 'kNm', hogging: 'kNm', shear: 'kN' } as const;

/**
 * Moment and shear of a truss against its allowables, over every case that it is shown. How moment and shear may go together is seldom
 * stated: the strictest rule (their shares add up to one at most) is a pass under any other, and beyond it nobody can tell.
 */
export class TrussStrength {
  private readonly section: TrussSection;
  private readonly main: TrussChecker;
  private readonly slack: TrussChecker;
  private readonly dynamicFactor: number;
  /** For stages of the build; null where moment and shear together are not judged anyway. */
  readonly shares: StageShares | null;

  /** @param dynamicFactor  on everything that a hoist moves, for the cases of a moving truss */
  constructor(section: TrussSection, dynamicFactor: number) {
    this.section = section;
    this.dynamicFactor = dynamicFactor;
    const { saggingKnm, hoggingKnm, shearKn } = section;
    const usable = (value: number | null) => (value !== null && value > 0 ? value * 1000 : null);
    const allowables = {
      saggingNm: usable(saggingKnm),
      hoggingNm: usable(hoggingKnm),
      shearN: usable(shearKn),
      interaction: 'linear' as const,
    };
    const { saggingNm, hoggingNm, shearN } = allowables;
    this.shares =
      saggingNm === null || hoggingNm === null || shearN === null
        ? null
        : { perSaggingNm: 1 / saggingNm, perHoggingNm: 1 / hoggingNm, perShearN: 1 / shearN };
    this.main = new TrussChecker(allowables);
    this.slack = new TrussChecker(allowables);
  }

  see(name: 'resting' | 'moving' | 'slack' | 'diagonal', line: ForceLine): void {
    if (name === 'slack' || name === 'diagonal') this.slack.see('slack', line);
    else this.main.see(name, line, name === 'moving' ? this.dynamicFactor : 1);
  }

  /** The truss while some of its loads are not there: at rest and moving, as the factor covers both. */
  seeStage({ lengths, influence: { grossN } }: StagedHang, sides: readonly StageSide[]): void {
    for (const [index, side] of sides.entries()) {
      const nodesM = lengths[index]?.nodesM ?? [];
      const layout = { nodesM, loads: { pointN: [], evenNPerM: side.evenNPerM }, grossN, input: { lengthM: nodesM.at(-1) ?? 0 } };
      this.main.see('build', { layout, line: side }, this.dynamicFactor);
    }
  }

  /** What no stage of the build goes beyond, by sense, where not every stage could be seen. */
  seeStageBounds(bounds: readonly number[]): void {
    for (const [sense, value] of bounds.entries())
      this.main.seeBound('build', KIND_OF_SENSE[sense] ?? 'interaction', value * this.dynamicFactor);
  }

  /**
   * Where a table of spans says what the truss bears, it stands for the allowable forces that are not stated, and for the rule by which
   * moment and shear go together.
   * @param span     what the table says of this truss; null = there is none
   * @param missing  what makes every force of the truss a lower bound
   */
  findings(span: SpanTableCheck | null, missing: readonly Missing[]): HangFinding[] {
    const why = [...missing];
    if (this.section.allowablesBasis === null) why.push({ code: 'allowables-basis-not-stated', of: 'truss' });
    const isTabled = span !== null && span.row !== null;
    const of = (checker: TrussChecker, hard: boolean, suffix: string) =>
      checker
        .checks()
        .filter(({ kind, allowable }) => !isTabled || (allowable !== null && kind !== 'interaction'))
        .map((check) => finding(check, hard, suffix, why));
    return [
      ...of(this.main, true, ''),
      ...of(this.slack, false, ':slack'),
      ...spanFindings(span, this.shares !== null, this.dynamicFactor > 1, why),
    ];
  }
}

function finding(
  { kind, case: name, atM, demand, allowable }: TrussCheck,
  hard: boolean,
  suffix: string,
  why: readonly Missing[],
): HangFinding {
  const loadCase = name === 'slack' || name === 'moving' || name === 'build' ? name : 'resting';
  const about = { ...BLANK_FINDING, kind: 'truss', subject: `${kind}${suffix}`, hard, case: loadCase } as const;
  const at: Record<string, number> = atM === null ? {} : { atM };
  if (kind === 'interaction') {
    const reckonings = [
      {
        formula: 'M / Ma + V / Va ≤ 1',
        numbers: at,
        unit: '1',
        source: 'the strictest rule for moment and shear together',
        result: demand,
      },
    ];
    if (allowable === null) return { ...about, state: 'unknown', why: [{ code: 'allowables-not-stated', of: 'truss' }], reckonings };
    if (demand > allowable)
      return { ...about, state: 'unknown', why: [{ code: 'interaction-not-stated', of: 'truss' }, ...why], reckonings };
    return { ...about, state: why.length === 0 ? 'told' : 'unknown', why, reckonings };
  }
  const [demandK, capacity] = [demand / 1000, allowable === null ? null : allowable / 1000];
  const reckonings = [
    {
      formula: `largest ${kind} of any case ≤ allowable`,
      numbers: at,
      unit: UNITS[kind],
      source: 'beam statics; allowables of the truss',
      result: demandK,
    },
  ];
  const whole = capacity === null ? [{ code: 'allowables-not-stated', of: 'truss' }, ...why] : why;
  return { ...about, state: 'compare', demand: demandK, capacity, unit: UNITS[kind], why: whole, reckonings };
}

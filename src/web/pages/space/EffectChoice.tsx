import { words } from '../../words.ts';

type Props = { label: string; hard: boolean; onChange: ((hard: boolean) => void) | null };

/** Whether it stops a yes when it is over, or only advises. */
export function EffectChoice({ label, hard, onChange }: Props) {
  if (onChange === null) return hard ? words.keepOuts.stops : words.keepOuts.advises;
  return (
    <select
      aria-label={words.points.cell(label, words.keepOuts.effect)}
      value={hard ? 'hard' : 'advisory'}
      onChange={(event) => onChange(event.target.value === 'hard')}
    >
      <option value="hard">{words.keepOuts.stops}</option>
      <option value="advisory">{words.keepOuts.advises}</option>
    </select>
  );
}

import type { RoofDraft } from '../../../domain/roof/structure.ts';
import { againstText, VerdictMark } from '../../checks/CheckList.tsx';
import { labelsOf } from '../../checks/labels.ts';
import { worstFirst } from '../../checks/order.ts';
import { useUnits } from '../../units/units-choice.ts';
import { amountText } from '../../units/units.ts';
import { words } from '../../words.ts';
import type { PlaceLoad } from './use-roof-day.ts';

const AT_ONCE = 12;

/** Points and limits that carry something that day, worst first, with what a next show could add to each by itself. */
export function PlaceLoads({ loads, roof }: { loads: readonly PlaceLoad[]; roof: Pick<RoofDraft, 'points' | 'limits' | 'members'> }) {
  const units = useUnits();
  const labels = labelsOf(roof, []);
  const loaded = loads.filter(({ demand, verdict }) => verdict !== 'fits' || (demand !== null && demand !== 0)).sort(worstFirst);
  if (loaded.length === 0) return <p className="soft">{words.loads.nothing}</p>;
  const rows = (some: readonly PlaceLoad[]) => (
    <ul className="checks">
      {some.map((load) => (
        <li key={load.id} className="row apart">
          <span className="row">
            <VerdictMark check={load} />
            <span>
              <strong>{labels.of(load)}</strong> {words.checks.kinds[load.kind]}
            </span>
          </span>
          <span>
            {againstText(load, units)}{' '}
            <span className="soft">
              {load.remaining === null
                ? words.loads.roomUnknown
                : words.loads.room(amountText(load.remaining, load.unit, units, 'capacity'))}
            </span>
          </span>
        </li>
      ))}
    </ul>
  );
  return (
    <section className="sheet stack tight">
      <h2>{words.loads.title(loaded.length)}</h2>
      {rows(loaded.slice(0, AT_ONCE))}
      {loaded.length > AT_ONCE && (
        <details>
          <summary>{words.checks.more(loaded.length - AT_ONCE)}</summary>
          {rows(loaded.slice(AT_ONCE))}
        </details>
      )}
    </section>
  );
}

import { useState } from 'react';
import type { CapacityTerms, RoofDraft } from '../../../domain/roof/structure.ts';
import { Field } from '../../parts/Field.tsx';
import { ProblemPanel } from '../../parts/ProblemPanel.tsx';
import { words } from '../../words.ts';
import { EMPTY_TERMS, termsOf } from './terms-typed.ts';
import { TermsFields } from './TermsFields.tsx';
import { useStructureChange, type StructureChange } from './use-structure-change.ts';

const KINDS = ['points', 'limits', 'members'] as const;
type Kind = (typeof KINDS)[number];
type Roof = Pick<RoofDraft, Kind> & { versions: Record<string, number> };
type Based = { id: string; label: string; terms: CapacityTerms };

/** What every capacity of the roof rests on, stated for many at once. */
export function BasesView({ spaceId, structure }: { spaceId: string; structure: object }) {
  const roof = structure as Roof; // the document's types and the domain's are the same shapes, told apart by the compiler alone
  const change = useStructureChange(spaceId);
  const [kind, setKind] = useState<Kind>('points');
  const [begins, setBegins] = useState('');
  const [isAll, setAll] = useState(false);
  const [typed, setTyped] = useState(EMPTY_TERMS);
  const [wasTried, setTried] = useState(false);
  const all: readonly Based[] = roof[kind];
  const chosen = all.filter(({ label, terms }) => (isAll || terms.basis === null) && label.startsWith(begins.trim()));
  const { terms, faults } = termsOf(typed);
  const save = () => {
    setTried(true);
    if (terms === null || chosen.length === 0) return;
    change.mutate(
      chosen.map((item): StructureChange => ({ kind, ifMatch: roof.versions[item.id] ?? null, item: { ...item, terms } })),
      { onSuccess: () => setTried(false) },
    );
  };
  return (
    <form
      noValidate
      className="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <p className="soft">{words.terms.text}</p>
      <fieldset className="switch">
        <legend className="unseen">{words.terms.of}</legend>
        {KINDS.map((one) => (
          <label key={one}>
            <input type="radio" name="terms-of" checked={kind === one} onChange={() => setKind(one)} />
            {words.terms.without(words.changes.kinds[one], roof[one].filter((item) => item.terms.basis === null).length, roof[one].length)}
          </label>
        ))}
      </fieldset>
      <div className="row">
        <Field label={words.terms.begins} value={begins} onChange={(event) => setBegins(event.target.value)} />
        <label className="row">
          <input type="checkbox" checked={isAll} onChange={(event) => setAll(event.target.checked)} />
          {words.terms.alsoStated}
        </label>
      </div>
      <p role="status">{words.terms.chosen(chosen.length, labelsText(chosen))}</p>
      <TermsFields typed={typed} faults={wasTried ? (faults ?? {}) : {}} onChange={setTyped} />
      {change.isError && <ProblemPanel error={change.error} />}
      {change.isSuccess && !wasTried && <p role="status">{words.terms.saved}</p>}
      <div>
        <button type="submit" className="main" disabled={chosen.length === 0 || change.isPending}>
          {words.terms.save(chosen.length)}
        </button>
      </div>
    </form>
  );
}

const FEW = 8;
const labelsText = (items: readonly Based[]): string =>
  items
    .slice(0, FEW)
    .map(({ label }) => label)
    .join(', ') + (items.length > FEW ? ` ${words.limits.andMore(items.length - FEW)}` : '');

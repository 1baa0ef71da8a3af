import type { ArrayBuild, Hang, Plan } from '../../domain/plan/plan.ts';
import type { RoofPoint } from '../../domain/roof/structure.ts';
import { NumberField } from '../parts/NumberField.tsx';
import { words } from '../words.ts';
import { withBuild, withSecondHoist } from './edit-hang.ts';
import { BasisSelect } from './BasisSelect.tsx';
import { cabinet, cabinetFacts, type CabinetFacts } from './new-hang.ts';
import { PointSelect } from './PointSelect.tsx';

type ArrayHang = Extract<Hang, { kind: 'array' }>;
type Props = { plan: Plan; hang: ArrayHang; build: ArrayBuild; points: readonly RoofPoint[]; onChange: (hang: ArrayHang) => void };

/** An array cabinet by cabinet: the same box all the way down, each with its own splay. */
export function ArrayForm({ plan, hang, build, points, onChange }: Props) {
  const { elements, frame } = build;
  const facts = cabinetFacts(elements[0] ?? cabinet({ massKg: null, basis: null, heightM: 0.35, depthM: 0.7, splayDeg: 0 }));
  const set = (change: Partial<ArrayBuild>) => onChange(withBuild(hang, change));
  const all = (change: Partial<Omit<CabinetFacts, 'splayDeg'>>) =>
    set({ elements: elements.map((element) => cabinet({ ...cabinetFacts(element), ...change })) });
  return (
    <fieldset className="sheet stack tight">
      <legend>{words.array.title(elements.length)}</legend>
      <div className="row">
        <NumberField label={words.array.cabinetMass} of="mass" optional value={facts.massKg} onChange={(massKg) => all({ massKg })} />
        <BasisSelect value={facts.basis} onChange={(basis) => all({ basis })} />
        <NumberField
          label={words.array.height}
          of="length"
          value={facts.heightM}
          onChange={(heightM) => heightM !== null && heightM > 0 && all({ heightM })}
        />
        <NumberField
          label={words.array.depth}
          of="length"
          value={facts.depthM}
          onChange={(depthM) => depthM !== null && depthM > 0 && all({ depthM })}
        />
      </div>
      <div className="row">
        <NumberField
          label={words.array.frameMass}
          of="mass"
          optional
          value={frame.massKg}
          onChange={(massKg) => set({ frame: { ...frame, massKg } })}
        />
        <BasisSelect value={frame.basis} onChange={(basis) => set({ frame: { ...frame, basis } })} />
        <NumberField
          label={words.array.pitch}
          of="plain"
          value={build.framePitchDeg}
          onChange={(framePitchDeg) => set({ framePitchDeg })}
        />
      </div>
      <div className="row">
        {elements.map((element, index) => (
          <NumberField
            key={index}
            label={words.array.splay(index + 1)}
            of="plain"
            value={element.splayDeg}
            onChange={(splayDeg) =>
              splayDeg !== null && set({ elements: elements.map((one, at) => (at === index ? { ...one, splayDeg } : one)) })
            }
          />
        ))}
      </div>
      <div className="row">
        <button type="button" onClick={() => set({ elements: [...elements, { ...(elements.at(-1) ?? cabinet(facts)) }] })}>
          {words.array.add}
        </button>
        <button type="button" disabled={elements.length < 2} onClick={() => set({ elements: elements.slice(0, -1) })}>
          {words.array.takeOff}
        </button>
        {hang.pickUps.length === 1 && (
          <PointSelect
            label={words.array.secondHoist}
            points={points}
            value={null}
            onChange={(point) => onChange(withSecondHoist(plan, hang, point, () => crypto.randomUUID()))}
          />
        )}
      </div>
    </fieldset>
  );
}

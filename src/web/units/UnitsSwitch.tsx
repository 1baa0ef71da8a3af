import { words } from '../words.ts';
import { chooseUnits, useUnits } from './units-choice.ts';
import { LENGTH_UNITS, MASS_UNITS } from './units.ts';

/** One switch for the whole service; what is stored never changes by it. */
export function UnitsSwitch() {
  const units = useUnits();
  return (
    <>
      <fieldset className="switch">
        <legend className="unseen">{words.units.mass}</legend>
        {MASS_UNITS.map((unit) => (
          <label key={unit}>
            <input type="radio" name="mass-unit" checked={units.mass === unit} onChange={() => chooseUnits({ mass: unit })} />
            {unit}
          </label>
        ))}
      </fieldset>
      <fieldset className="switch">
        <legend className="unseen">{words.units.length}</legend>
        {LENGTH_UNITS.map((unit) => (
          <label key={unit}>
            <input type="radio" name="length-unit" checked={units.length === unit} onChange={() => chooseUnits({ length: unit })} />
            {words.units.lengthNames[unit]}
          </label>
        ))}
      </fieldset>
    </>
  );
}

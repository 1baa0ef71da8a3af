import type { RoofPoint } from '../../../domain/roof/structure.ts';
import { massText, type Units } from '../../units/units.ts';
import { words } from '../../words.ts';

export const ratingText = ({ wllKg }: Pick<RoofPoint, 'wllKg'>, units: Units): string =>
  wllKg === null ? words.notStated : massText(wllKg, units, 'capacity');

import type { CapacityTerms } from '../../../domain/roof/structure.ts';
import { words } from '../../words.ts';

/** Texts and choices as they stand in the form; empty = not stated. */
export type TypedTerms = {
  kind: 'report' | 'calculation' | 'loadTest';
  day: string;
  role: string;
  document: string;
  standard: string;
  format: '' | 'working' | 'design';
  permanent: string;
  imposed: string;
  dynamic: '' | 'notIncluded' | 'included';
  dynamicFactor: string;
  mustInclude: NonNullable<CapacityTerms['mustInclude']>;
  isIncludeStated: boolean;
  others: '' | 'yes' | 'no';
};
export const EMPTY_TERMS: TypedTerms = {
  kind: 'report',
  day: '',
  role: '',
  document: '',
  standard: '',
  format: '',
  permanent: '',
  imposed: '',
  dynamic: '',
  dynamicFactor: '',
  mustInclude: [],
  isIncludeStated: false,
  others: '',
};
export const MUST = ['load', 'hoist', 'chain', 'legParts'] as const;

export type TermsFaults = Partial<Record<'day' | 'role' | 'document' | 'permanent' | 'imposed' | 'dynamicFactor', string>>;
const factor = (text: string): number | null => {
  const number = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(number) && number >= 1 ? number : null;
};

/** What the form says, or what is wrong with it, field by field. */
export function termsOf(typed: TypedTerms): { terms: CapacityTerms; faults: null } | { terms: null; faults: TermsFaults } {
  const faults: TermsFaults = {};
  if (!/^\d{4}-\d\d-\d\d$/.test(typed.day)) faults.day = words.terms.faults.day;
  if (typed.role.trim() === '') faults.role = words.terms.faults.role;
  if (typed.document.trim() === '') faults.document = words.terms.faults.document;
  const [permanent, imposed, dynamicFactor] = [factor(typed.permanent), factor(typed.imposed), factor(typed.dynamicFactor)];
  if (typed.format === 'design' && permanent === null) faults.permanent = words.terms.faults.factor;
  if (typed.format === 'design' && imposed === null) faults.imposed = words.terms.faults.factor;
  if (typed.dynamic === 'included' && dynamicFactor === null) faults.dynamicFactor = words.terms.faults.factor;
  if (Object.keys(faults).length > 0) return { terms: null, faults };
  const { kind, day } = typed;
  const standard = typed.standard.trim() === '' ? null : typed.standard.trim();
  return {
    faults: null,
    terms: {
      basis: { kind, day, role: typed.role.trim(), document: typed.document.trim(), standard },
      format:
        typed.format === 'working'
          ? { kind: 'working' }
          : typed.format === 'design'
            ? { kind: 'design', permanentFactor: permanent ?? 1, imposedFactor: imposed ?? 1 }
            : null,
      dynamic:
        typed.dynamic === 'notIncluded'
          ? { kind: 'notIncluded' }
          : typed.dynamic === 'included'
            ? { kind: 'included', factor: dynamicFactor ?? 1 }
            : null,
      mustInclude: typed.isIncludeStated ? typed.mustInclude : null,
      holdsWithOthersLoaded: typed.others === '' ? null : typed.others === 'yes',
    },
  };
}

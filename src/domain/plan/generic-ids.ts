/** How the ids of the generic library begin. They are fixed: plans name them. */
export const GENERIC_ID_PREFIX = '6e0e21c0-0000-4000-8000-';

/** Facts of the generic library are invented round numbers: nobody's document. */
export const isGeneric = (itemId: string): boolean => itemId.toLowerCase().startsWith(GENERIC_ID_PREFIX);

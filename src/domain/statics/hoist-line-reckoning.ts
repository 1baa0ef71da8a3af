/** How a number came about, short enough to print beside it. `numbers` carry their unit in the name, as everywhere. */
export type Reckoning = {
  readonly formula: string;
  readonly numbers: Readonly<Record<string, number>>;
  readonly unit: string;
  readonly source: string;
};

/** A datum that is missing or doubtful. What was computed without it is a lower bound of the load, so it can be `over` but never pass. */
export type MissingFact = { readonly code: string; readonly of: string };

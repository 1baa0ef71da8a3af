/** Goes with every assessment, wherever it is shown. */
export const CAUTIONS: readonly string[] = [
  'This is arithmetic on entered data. A competent person decides whether it may hang, and answers for it.',
  'The law, the standards and the rules of the place come first.',
  'Not computed: fatigue, impact, snagging, uneven lifting, damage, corrosion, fire, earthquake, and what is not entered.',
  'Not computed: strength inside the hung equipment, and of the floor and the ladders and lifts used to rig.',
  'Keep-outs are checked with the hang at trim, not on its way up.',
  'Anchors are taken as rigid unless their stiffness is stated.',
];

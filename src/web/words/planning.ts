/** Texts of work on a plan beyond its forms; a part of words.ts. */
export const planningWords = {
  alternatives: {
    title: 'Other ways to hang it',
    forHang: (label: string) => `Look for ${label}`,
    forAll: 'Look for all that is over',
    saveFirst: 'Save the plan first: the service looks at what is saved.',
    planMoved: 'The plan is another one now, so what was found for it is not shown. Undo brings it back; saving lets you look again.',
    looking: 'The service tries other points, bridles and places, each in the whole plan …',
    soFar: (hang: number, ofHangs: number, assessed: number) =>
      `${ofHangs === 1 ? '' : `Hang ${hang} of ${ofHangs}. `}${assessed === 1 ? '1 way' : `${assessed} ways`} assessed so far.`,
    time: (seconds: number, budgetS: number) => `${seconds} s of at most ${budgetS} s`,
    found: (count: number) =>
      count === 0
        ? 'No way within these bounds that is not over. Let it look farther, move the hang or take more legs, or make it lighter.'
        : `${count} ${count === 1 ? 'way' : 'ways'}, best first.`,
    searched: (considered: number, ruledOut: number, assessed: number) =>
      `${considered} considered, ${ruledOut} ruled out, ${assessed} assessed.`,
    early: 'It stopped before all were looked at: give it more time, or tighter bounds.',
    stillOver: (labels: string) => `Nothing was found for ${labels}: still over.`,
    number: (number: number) => `way ${number}`,
    straight: (point: string) => `straight up to ${point}`,
    bridle: (points: string) => `bridle on ${points}`,
    tiers: (points: string) => `tiers on ${points}`,
    underAnother: 'under another hang',
    moved: (x: string, y: string) => `moved by ${x}, ${y}`,
    holes: 'in other holes of the frame',
    steels: 'A bridle comes without its steels: it is unknown until they are chosen for the lengths that its drawing shows.',
    asItIs: 'This is how it hangs now.',
    wholePlan: 'The whole plan with it:',
    show: 'Show on the plan',
    take: 'Take it',
    showing: 'You are looking at a way that was found. Your plan is as it was, drawn dashed.',
    backToPlan: 'Back to my plan',
    where: 'Where to look',
    within: 'Points within',
    shiftX: 'May move along x by',
    shiftY: 'May move along y by',
    legs: 'Bridles',
    legChoices: ['none: straight up', 'of two legs', 'of two and three legs'],
    legAngle: 'Leg off vertical, at most [°]',
    budget: 'Look for at most [s]',
  },
  copy: {
    open: 'Copy from another show',
    title: 'Copy from another show of the production',
    shows: 'the other shows',
    none: 'No other show of this production has a proposal yet.',
    from: 'From',
    empty: 'Nothing hangs in that plan.',
    sameRoof: 'The same roof: every way up goes to the point that it had.',
    otherRoof:
      'Another roof: hangs keep their place from the datum, and every way up goes to the nearest point here. Look at each: heights, trims and steels are those of the other roof.',
    all: (count: number) => (count === 1 ? 'The whole plan: 1 hang' : `The whole plan: ${count} hangs`),
    act: (count: number) => (count === 1 ? 'Copy 1 hang' : `Copy ${count} hangs`),
    rebound: (count: number) =>
      `${count} ${count === 1 ? 'point of the other roof is' : 'points of the other roof are'} replaced by the nearest here: look at each way up.`,
  },
  keys: {
    button: 'Keys',
    title: 'Keys',
    letters: 'Keys of one letter work (?)',
    groups: [
      {
        where: 'Everywhere',
        keys: [
          ['?', 'this list'],
          ['Tab, Shift Tab', 'to the next, to the one before'],
          ['Enter, Space', 'presses, opens, ticks'],
          ['Esc', 'closes what is in front'],
        ],
      },
      {
        where: 'On the plan of a roof',
        keys: [
          ['Arrows', 'to the point in that direction'],
          ['+ and −', 'nearer, farther'],
          ['0', 'the whole roof'],
          ['Esc', 'no point'],
        ],
      },
      {
        where: 'In tables and plans that you edit',
        keys: [
          ['Ctrl Z', 'takes back'],
          ['Ctrl Shift Z', 'does again'],
          ['Ctrl V', 'in a cell of points: takes a block from a spreadsheet'],
          ['Enter', 'in a number: takes it'],
        ],
      },
      { where: 'In rows of views', keys: [['← and →', 'to the view beside']] },
    ],
  },
} as const;

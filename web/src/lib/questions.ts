/** The way through a run, in the order in which people ask. */
export const QUESTIONS = ['fit', 'tools', 'hold', 'cut', 'time', 'release'] as const;
export type Question = (typeof QUESTIONS)[number];

/** The question that each check answers. A check that is not listed goes to "Is the cut right?". */
export const QUESTION_OF_CHECK: Readonly<Record<string, Question>> = {
  'travel-exceeded': 'fit',
  'outside-sheet': 'fit',
  'outside-table': 'fit',
  'into-stop': 'fit',
  'too-deep': 'fit',
  'sheet-not-mapped': 'fit',
  'work-offset-unknown': 'fit',

  'tool-unknown': 'tools',
  'tool-never-called': 'tools',
  'tool-not-in-magazine': 'tools',
  'tool-not-measured': 'tools',
  'length-not-applied': 'tools',
  'life-runs-out': 'tools',
  'body-touches': 'tools',
  'rating-missing': 'tools',
  'speed-above-rating': 'tools',
  'speed-outside-spindle': 'tools',
  'tool-number-too-high': 'tools',
  'offset-number-too-high': 'tools',
  'length-offset-unknown': 'tools',
  'compensation-radius-unknown': 'tools',

  'rapid-below-surface': 'cut',
  'cut-without-spindle': 'cut',
  'deeper-than-edge': 'cut',
  'plunge-not-possible': 'cut',
  'slot-too-deep': 'cut',
  'chip-too-thin': 'cut',
  'chip-too-thick': 'cut',
  'power-above-spindle': 'cut',
  'torque-above-spindle': 'cut',
  'deflection-above-tolerance': 'cut',
  'conventional-where-climb': 'cut',
  'knife-corner-without-lift': 'cut',
  'knife-turns-too-fast': 'cut',
  'feed-above-axis': 'cut',
  'feed-zero': 'cut',
  'plane-not-stated': 'cut',
  'units-not-stated': 'cut',
  'program-not-ended': 'cut',
};

export function questionOf(check: string): Question {
  return QUESTION_OF_CHECK[check] ?? 'cut';
}

export function isQuestion(text: string | undefined): text is Question {
  return QUESTIONS.some((question) => question === text);
}

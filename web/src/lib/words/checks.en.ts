import type { CheckWords } from './en';

/** A few words for each check, to stand after "No:" or "Look:" on a card. */
export const checksEn = {
  'travel-exceeded': { brief: 'beyond the travel' },
  'outside-sheet': { brief: 'beside the sheet' },
  'outside-table': { brief: 'off the table' },
  'into-stop': { brief: 'into a stop' },
  'too-deep': { brief: 'too deep' },
  'work-offset-unknown': { brief: 'datum unknown' },
  'tool-unknown': { brief: 'unknown tool' },
  'tool-never-called': { brief: 'no tool called' },
  'tool-not-in-magazine': { brief: 'not loaded' },
  'tool-not-measured': { brief: 'not measured' },
  'length-not-applied': { brief: 'length not used' },
  'rating-missing': { brief: 'no rating' },
  'speed-above-rating': { brief: 'turns too fast' },
  'speed-outside-spindle': { brief: 'spindle range' },
  'rapid-below-surface': { brief: 'rapid in sheet' },
  'cut-without-spindle': { brief: 'spindle stands' },
  'feed-above-axis': { brief: 'feed too fast' },
  'feed-zero': { brief: 'no feed' },
  'plane-not-stated': { brief: 'plane not said' },
  'units-not-stated': { brief: 'units not said' },
  'program-not-ended': { brief: 'no end' },
} satisfies Record<string, CheckWords>;

/** A line of a program cut to what can be shown, with the marked columns in sight. */
export interface Excerpt {
  before: string;
  marked: string;
  after: string;
  /** Characters left out before and after. */
  cutBefore: number;
  cutAfter: number;
}

/** Characters of a line shown at most; longer lines are cut around what is marked. */
export const ROOM = 240;

/** `column` and `endColumn` count characters from 1; `endColumn` is one past the last. 0 marks nothing. */
export function excerpt(line: string, column = 0, endColumn = 0, room = ROOM): Excerpt {
  const characters = HAS_PAIRS.test(line) ? Array.from(line) : line;
  const total = characters.length;
  const from = column > 0 ? Math.min(column - 1, total) : 0;
  const to = column > 0 ? Math.min(Math.max(endColumn - 1, from), total) : 0;
  const start = Math.max(0, Math.min(from - Math.floor(room / 4), total - room));
  const end = Math.min(total, start + room);
  const markedEnd = Math.min(to, end);
  const piece = (a: number, b: number): string => {
    const cut = characters.slice(a, b);
    return typeof cut === 'string' ? cut : cut.join('');
  };
  return {
    before: piece(start, from),
    marked: piece(from, markedEnd),
    after: piece(markedEnd, end),
    cutBefore: start,
    cutAfter: total - end,
  };
}

const HAS_PAIRS = /[\ud800-\udfff]/;

import { checksEn } from './checks.en';

const count = (n: string, one: boolean, single: string, several: string): string =>
  `${n} ${one ? single : several}`;

/** All words of the page in English. Numbers arrive written. */
const en = {
  language: 'English',
  shell: {
    programs: 'Programs',
    chooseFile: 'Choose a program file',
    openFile: 'Open a file',
    settings: 'Settings',
    close: 'Close',
    on: 'on',
    with: 'with',
    machine: 'Machine',
    sheet: 'Sheet',
    skip: 'Skip to the answer',
    inventedBrief: 'Invented data',
    invented: 'Invented data: a demo shop, not a real one.',
    dropHere: 'Let go to read the program',
    retry: 'Try again',
    dismiss: 'Dismiss',
  },
  settings: {
    language: 'Language',
    lengths: 'Lengths',
    look: 'Look',
    mm: 'Millimetres',
    inch: 'Inches',
    looks: {
      device: 'As the device asks',
      bright: 'Bright',
      contrast: 'High contrast',
      dim: 'Dim light',
    },
  },
  programs: {
    title: 'Programs',
    lead: 'Drop an NC file anywhere on this page, or choose one. It is kept here, unchanged.',
    empty: 'No program is kept here yet. The first one you drop will stand in this place.',
    kept: 'Kept here, newest first',
    lines: (n: string, one: boolean) => count(n, one, 'line', 'lines'),
    added: (when: string) => `added ${when}`,
  },
  upload: {
    sending: (name: string) => `Sending ${name}`,
    sent: (part: string) => `${part} sent`,
    tooLarge: (name: string, size: string, limit: string) =>
      `${name} has ${size}; at most ${limit} can be read.`,
    tooLargeHelp: 'Split the program, or have it written with fewer points.',
    failed: (name: string) => `${name} could not be kept.`,
  },
  states: {
    loading: 'Loading …',
    checking: 'Reading and checking the program …',
    drawing: 'Drawing …',
    lost: 'The server does not answer. What is loaded here can still be read; nothing new can be loaded.',
    lostHelp: 'Check that Kerfwright runs and that this device is on its network.',
    failed: 'The server could not do this.',
    failedHelp:
      'Try again. If it stays so, look at the messages of the program that serves this page.',
    noDrawing: 'This browser cannot draw: it does not offer WebGL 2.',
    noDrawingHelp:
      'Use a newer browser, or turn on its graphics. Findings and numbers are shown all the same.',
    emptyDrawing: 'The program moves nothing that could be drawn.',
    simplified: 'finest detail left out',
  },
  severity: { stop: 'stop', care: 'care', note: 'note' },
  questions: {
    nav: 'Six questions',
    fit: 'Does it fit?',
    tools: 'Have I the tools?',
    hold: 'Will it hold?',
    cut: 'Is the cut right?',
    time: 'How long?',
    release: 'Release',
  },
  answers: {
    wait: '…',
    yes: 'Yes',
    yesNotes: (n: string, one: boolean) => `Yes, ${count(n, one, 'note', 'notes')}`,
    no: (what: string) => `No: ${what}`,
    look: (what: string) => `Look: ${what}`,
    lookAt: (n: string) => `${n} to look at`,
    open: 'Not computed yet',
    brief: (check: string) => check.replaceAll('-', ' '),
    notYet: (n: string, one: boolean) => `Not yet: ${count(n, one, 'stop', 'stops')}`,
    nothingFound: 'Nothing found',
  },
  verdict: {
    stop: (n: string, one: boolean) =>
      one ? 'One finding must stop this run.' : `${n} findings must stop this run.`,
    care: (n: string, one: boolean) =>
      one
        ? 'Nothing must stop this run; one finding needs a look.'
        : `Nothing must stop this run; ${n} findings need a look.`,
    clear: 'No check found a fault.',
    open: 'Whether the pieces hold is not computed yet: judge it as your workshop does.',
    person: 'Kerfwright advises. A person decides, and starts the machine.',
  },
  finding: {
    found: 'Found',
    limit: 'Limit',
    off: 'Difference',
    setIn: 'Limit set in',
    mend: 'To mend it',
    why: 'More about this check',
    block: 'The block',
    also: 'See also',
    place: (file: string, line: string) => `${file}, line ${line}`,
    wholeFile: (file: string) => `${file}, as a whole`,
    show: 'Show in the program',
    moment: (clock: string) => `The sheet at ${clock}`,
    previous: 'Previous',
    next: 'Next',
    of: (at: string, n: string) => `${at} of ${n}`,
    listed: (n: string) => `${n} are listed`,
    all: 'All findings here',
    rest: 'Further findings',
    none: 'No check has anything to say here.',
  },
  fit: {
    title: 'The box of all cutting moves',
    onSheet: 'On the sheet',
    onTable: 'On the table',
    to: 'to',
    sheet: (x: string, y: string, z: string) => `Sheet ${x} by ${y}, ${z} thick`,
    frame: 'On the sheet, X and Y count from its corner of least X and Y, Z from its upper face.',
  },
  tools: {
    title: 'Tools in order of first use',
    deepest: 'lowest point',
    unknown: 'not in the shop',
    none: 'The program calls no tool.',
    only: (n: string) => `Show only tool ${n}`,
    untold: 'without a tool',
  },
  hold: {
    title: 'Not computed yet',
    text: 'Kerfwright does not compute yet whether each piece stays put until its last cut. No finding here does not mean that it holds.',
    help: 'Judge the hold as your workshop does: small pieces, open zones, leaks through the kerfs, thin skins, tabs.',
  },
  cut: {
    title: 'What is cut',
    cutLength: 'Path at feed',
    rapidLength: 'Rapid path',
    blocks: 'Blocks read',
    moves: 'Moves',
    lines: 'Lines',
  },
  time: {
    total: 'From start to end',
    feed: 'Moves at feed',
    rapid: 'Rapid moves',
    other: 'Tool changes, spindle, waiting',
    waits: (n: string, one: boolean) =>
      one ? 'A person is needed once on the way.' : `A person is needed ${n} times on the way.`,
    noWaits: 'Nobody is needed on the way, but nobody may leave it alone either.',
    byTool: 'By tool',
  },
  release: {
    download: 'Download the program, unchanged',
    summary: 'Summary',
    cautions: 'Mind this',
  },
  drawing: {
    name: 'Drawing of table, sheet and toolpath',
    help: 'Arrow keys move, plus and minus zoom, 0 shows the whole sheet.',
    zoomIn: 'Zoom in',
    zoomOut: 'Zoom out',
    fit: 'Whole sheet',
    at: (clock: string) => `shown at ${clock}`,
    whole: 'whole program',
    rapid: 'rapid',
    cut: 'cut',
    cutAlready: 'already cut',
    tool: (n: string) => `tool ${n}`,
    zone: (id: string) => `zone ${id}`,
    line: (n: string) => `line ${n}`,
    deep: (z: string) => `${z} deep`,
    above: (z: string) => `${z} above the sheet`,
    legend: 'Tools',
    allTools: 'All tools',
  },
  text: {
    name: 'Program text',
    open: 'Text',
    close: 'Close the text',
    goTo: 'Go to line',
    before: (n: string) => `${n} characters …`,
    more: (n: string) => `… and ${n} more characters`,
    picked: 'The block that was tapped',
    noMove: 'moves nothing',
    forget: 'Let go',
  },
  timeline: {
    name: 'Time line',
    moment: 'Moment of the run',
    at: (clock: string, what: string) => `${clock}, ${what}`,
    findings: 'findings',
    tracks: { tool: 'tool', feed: 'feed' } as Record<string, string>,
    spans: {
      tool: 'tool',
      change: 'tool change',
      'hand-load': 'hand-load',
      wait: 'waits for a person',
    },
  },
  checks: checksEn as Record<string, CheckWords>,
};

/** Words for one check: a few for a card; a title only where the server's English one will not do. */
export interface CheckWords {
  brief: string;
  title?: string;
}

export type Words = typeof en;
export default en;

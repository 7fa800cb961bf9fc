import { MM_PER_INCH, type Language, type Lengths } from './units';

/** Space inside a number and before its unit: narrow, and never broken. */
const THIN = '\u202f';

/** Writes numbers with units for one language and one system of lengths. */
export class Formatter {
  constructor(
    readonly language: Language,
    readonly lengths: Lengths,
  ) {}

  number(value: number, digits = 0, least = 0): string {
    if (!Number.isFinite(value)) return '–';
    const format = new Intl.NumberFormat(this.language, {
      minimumFractionDigits: Math.min(least, digits),
      maximumFractionDigits: digits,
      useGrouping: true,
    });
    const parts = format.formatToParts(Object.is(value, -0) ? 0 : value);
    const thin = parts.map((part) =>
      part.type === 'group' ? THIN : part.type === 'minusSign' ? '\u2212' : part.value,
    );
    return thin.join('');
  }

  /** A length, with more digits where a reader checks it against a limit. */
  length(mm: number, exact = false): string {
    return `${this.lengthNumber(mm, exact)}${THIN}${this.lengthUnit}`;
  }

  lengthNumber(mm: number, exact = false): string {
    const inch = this.lengths === 'inch';
    return this.number(inch ? mm / MM_PER_INCH : mm, inch ? (exact ? 4 : 3) : exact ? 3 : 1);
  }

  get lengthUnit(): string {
    return this.lengths === 'inch' ? 'in' : 'mm';
  }

  /** A way along the path: long, so in metres or feet. */
  path(mm: number): string {
    if (this.lengths === 'inch') return `${this.number(mm / MM_PER_INCH / 12, 1)}${THIN}ft`;
    return `${this.number(mm / 1000, mm < 100_000 ? 2 : 1)}${THIN}m`;
  }

  feed(mmPerMin: number): string {
    return this.range([mmPerMin, mmPerMin], 'mm/min');
  }

  /** A quantity in the unit the server gives it. */
  quantity(value: number, unit: string): string {
    const inch = this.lengths === 'inch';
    if (unit === 'mm') return this.length(value, true);
    if (unit === 'mm/min' && inch) return `${this.number(value / MM_PER_INCH, 1)}${THIN}in/min`;
    const digits = unit === 'mm/min' || unit === '1/min' ? 1 : 3;
    return unit ? `${this.number(value, digits)}${THIN}${unit}` : this.number(value, digits);
  }

  /** Least and greatest in one unit; one number where they are the same. */
  range([low, high]: readonly number[], unit: string): string {
    const inch = this.lengths === 'inch' && unit === 'mm/min';
    const one = (value: number): string =>
      this.number(inch ? value / MM_PER_INCH : value, inch ? 1 : 0);
    const shown = inch ? 'in/min' : unit;
    const span = one(low) === one(high) ? one(high) : `${one(low)}–${one(high)}`;
    return `${span}${THIN}${shown}`;
  }

  bytes(count: number): string {
    if (count < 1000) return `${this.number(count)}${THIN}B`;
    if (count < 1e6) return `${this.number(count / 1e3, 1)}${THIN}kB`;
    return `${this.number(count / 1e6, 1)}${THIN}MB`;
  }

  /** A duration in words: `41 min 12 s`, `1 h 03 min`. */
  duration(seconds: number): string {
    const whole = Math.max(0, Math.round(seconds));
    const [h, m, s] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
    if (h > 0) return `${this.number(h)}${THIN}h ${two(m)}${THIN}min`;
    if (m > 0) return `${m}${THIN}min ${two(s)}${THIN}s`;
    return seconds > 0 && seconds < 10 ? `${this.number(seconds, 1)}${THIN}s` : `${s}${THIN}s`;
  }

  /** A moment of the run as a clock shows it: `14:22`, `1:02:10`. */
  clock(seconds: number): string {
    const whole = Math.max(0, Math.floor(seconds + 1e-6));
    const [h, m, s] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
    return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
  }

  date(rfc3339: string): string {
    const date = new Date(rfc3339);
    if (Number.isNaN(date.getTime())) return rfc3339;
    return new Intl.DateTimeFormat(this.language, {
      dateStyle: 'medium',
      timeStyle: 'short',
    }).format(date);
  }

  /**
   * Lengths inside a sentence of the server, in the chosen lengths. The server writes millimetres;
   * a sentence is left as it is unless inches are wanted.
   */
  sentence(text: string): string {
    if (this.lengths === 'mm') return text;
    return text.replace(LENGTHS_IN_TEXT, (_, span: string, unit: string) => {
      const inches = span.replace(/-?\d+(?:\.\d+)?/g, (digits) => inchDigits(digits));
      return `${inches} ${unit === 'mm' ? 'in' : 'in/min'}`;
    });
  }
}

const LENGTHS_IN_TEXT =
  /(?<![\w.])(-?\d+(?:\.\d+)?(?:(?: to | by |–| × )-?\d+(?:\.\d+)?)*) (mm\/min|mm)(?![\w³²/])/g;

function inchDigits(mm: string): string {
  const decimals = mm.split('.')[1]?.length ?? 0;
  return (Number(mm) / MM_PER_INCH).toFixed(Math.min(decimals + 2, 4));
}

function two(n: number): string {
  return String(n).padStart(2, '0');
}

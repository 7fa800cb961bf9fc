/** Why a call to the server gave nothing. */
export class Trouble extends Error {
  override name = 'Trouble';

  constructor(
    /** `lost`: nothing answered; `refused`: the server says no; `broken`: what came cannot be read. */
    readonly kind: 'lost' | 'refused' | 'broken',
    readonly status: number,
    /** The server's words; empty where it had none. */
    readonly what: string,
    readonly help: string,
  ) {
    super(what || kind);
  }
}

/** What the server says when it says no, whatever shape came back. */
export function refusal(status: number, body: unknown): Trouble {
  const error = field(body, 'error');
  return new Trouble('refused', status, text(field(error, 'what')), text(field(error, 'help')));
}

function field(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null
    ? (value as Record<string, unknown>)[name]
    : undefined;
}

function text(value: unknown): string {
  return typeof value === 'string' ? value : '';
}

/** Whatever was thrown, as a trouble. */
export function asTrouble(thrown: unknown): Trouble {
  if (thrown instanceof Trouble) return thrown;
  const words = thrown instanceof Error ? thrown.message : String(thrown);
  return new Trouble('broken', 0, words, '');
}

export function isAbort(thrown: unknown): boolean {
  return thrown instanceof DOMException && thrown.name === 'AbortError';
}

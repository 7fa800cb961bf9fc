import { Formatter } from '../lib/format';
import {
  LANGUAGES,
  LENGTHS,
  LOOKS,
  type Language,
  type Lengths,
  type LookChoice,
} from '../lib/units';
import de from '../lib/words/de';
import en, { type Words } from '../lib/words/en';

const CATALOGUES: Record<Language, Words> = { en, de };
const KEY = 'kerfwright-settings';

/** What each person sets for this device; kept in the browser. */
class Settings {
  language = $state<Language>('en');
  lengths = $state<Lengths>('mm');
  look = $state<LookChoice>('device');

  readonly words = $derived(CATALOGUES[this.language]);
  readonly format = $derived(new Formatter(this.language, this.lengths));

  constructor() {
    const kept = readKept();
    this.language = oneOf(LANGUAGES, kept['language']) ?? deviceLanguage();
    this.lengths = oneOf(LENGTHS, kept['lengths']) ?? 'mm';
    this.look = oneOf(LOOKS, kept['look']) ?? 'device';
  }

  keep(): void {
    const { language, lengths, look } = this;
    try {
      localStorage.setItem(KEY, JSON.stringify({ language, lengths, look }));
    } catch {
      // A browser that keeps nothing still shows the page; only the choice is forgotten.
    }
  }
}

function readKept(): Record<string, unknown> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? '{}');
    return typeof kept === 'object' && kept !== null ? (kept as Record<string, unknown>) : {};
  } catch {
    return {};
  }
}

function oneOf<T extends string>(choices: readonly T[], value: unknown): T | undefined {
  return choices.find((choice) => choice === value);
}

function deviceLanguage(): Language {
  const wanted = navigator.languages.map((tag) => tag.slice(0, 2).toLowerCase());
  return wanted.map((tag) => oneOf(LANGUAGES, tag)).find(Boolean) ?? 'en';
}

export const settings = new Settings();

/** The words of the chosen language. */
export const t = (): Words => settings.words;
/** Numbers in the chosen language and lengths. */
export const f = (): Formatter => settings.format;

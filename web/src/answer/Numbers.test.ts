import { render } from '@testing-library/svelte';
import { afterEach, expect, it } from 'vitest';
import type { Finding } from '../api/types';
import { settings } from '../state/settings.svelte';
import Numbers from './Numbers.svelte';

const finding = {
  label: 'travel 0 to 3050.000 mm',
  value: 3062.4,
  limit: 3050,
  unit: 'mm',
  limit_source: 'machine.toml:18',
} as Finding;

const shown = (of: Finding): string =>
  (render(Numbers, { finding: of }).container.textContent ?? '').replaceAll('\u202f', ' ');

afterEach(() => {
  settings.lengths = 'mm';
  settings.language = 'en';
});

it('puts value, limit, difference and who set the limit side by side', () => {
  const text = shown(finding);
  for (const part of ['3 062.4 mm', '3 050 mm', '12.4 mm', 'machine.toml:18']) {
    expect(text).toContain(part);
  }
});

it('follows lengths and language', () => {
  settings.lengths = 'inch';
  settings.language = 'de';
  expect(shown(finding)).toContain('120,5669 in');
});

it('shows no limit where there is none', () => {
  const text = shown({ ...finding, limit: null, limit_source: null });
  expect(text).not.toContain('Limit');
});

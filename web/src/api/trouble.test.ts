import { describe, expect, it } from 'vitest';
import { asTrouble, refusal, Trouble } from './trouble';

describe('refusal', () => {
  it('takes the words of the server', () => {
    const body = { error: { what: 'the file has 600 MB', help: 'split it' } };
    expect(refusal(413, body)).toMatchObject({
      status: 413,
      what: 'the file has 600 MB',
      help: 'split it',
    });
  });

  it.each([undefined, null, 'gateway', { error: 3 }, { error: { what: 7 } }])(
    'survives %j',
    (body) => {
      expect(refusal(502, body)).toMatchObject({ kind: 'refused', what: '', help: '' });
    },
  );
});

it('keeps a trouble and wraps anything else', () => {
  const lost = new Trouble('lost', 0, '', '');
  expect(asTrouble(lost)).toBe(lost);
  expect(asTrouble(new Error('no shape'))).toMatchObject({ kind: 'broken', what: 'no shape' });
});

import { describe, expect, it } from 'vitest';
import { Formatter } from './format';

const en = new Formatter('en', 'mm');
const de = new Formatter('de', 'mm');
const inch = new Formatter('en', 'inch');
const plain = (text: string): string => text.replaceAll('\u202f', ' ');

describe('numbers', () => {
  it('puts thin spaces in thousands and the mark of the language before decimals', () => {
    expect(en.number(1234567.25, 2)).toBe('1\u202f234\u202f567.25');
    expect(de.number(1234567.25, 2)).toBe('1\u202f234\u202f567,25');
  });

  it('has a real minus and no minus nought', () => {
    expect(en.number(-12.5, 1)).toBe('\u221212.5');
    expect(en.number(-0)).toBe('0');
  });

  it('does not write what is no number', () => {
    expect(en.number(Number.NaN)).toBe('–');
  });
});

describe('lengths', () => {
  it('carries the unit in both systems', () => {
    expect(plain(en.length(3062.4))).toBe('3 062.4 mm');
    expect(plain(inch.length(25.4))).toBe('1 in');
    expect(plain(inch.length(3062.4, true))).toBe('120.5669 in');
    expect(plain(en.path(48_230))).toBe('48.23 m');
    expect(plain(inch.path(3048))).toBe('10 ft');
  });

  it('converts what the server measured', () => {
    expect(plain(en.quantity(3050, 'mm'))).toBe('3 050 mm');
    expect(plain(inch.quantity(2540, 'mm/min'))).toBe('100 in/min');
    expect(plain(en.quantity(24000, '1/min'))).toBe('24 000 1/min');
    expect(plain(en.quantity(3, ''))).toBe('3');
  });

  it('writes a range once where both ends are the same', () => {
    expect(plain(en.range([6000, 6000], 'mm/min'))).toBe('6 000 mm/min');
    expect(plain(inch.range([2540, 5080], 'mm/min'))).toBe('100–200 in/min');
  });
});

describe('times', () => {
  it.each([
    [0, '0 s'],
    [4.26, '4.3 s'],
    [59.7, '1 min 00 s'],
    [2472, '41 min 12 s'],
    [3780, '1 h 03 min'],
  ])('%f s is %s', (seconds, text) => expect(plain(en.duration(seconds))).toBe(text));

  it('shows a moment like a clock', () => {
    expect(en.clock(862)).toBe('14:22');
    expect(en.clock(3730)).toBe('1:02:10');
  });
});

describe('sentences of the server', () => {
  it('stay as they are in millimetres', () => {
    const text = 'X 3062.400 mm is 12.400 mm beyond';
    expect(en.sentence(text)).toBe(text);
  });

  it('turn lengths and feeds into inches, ranges too', () => {
    expect(inch.sentence('X 254.000 mm, travel 0 to 508.0 mm')).toBe(
      'X 10.0000 in, travel 0.00 to 20.000 in',
    );
    expect(inch.sentence('sheet 2500.0 by 1250.0 mm')).toBe('sheet 98.425 by 49.213 in');
    expect(inch.sentence('feed 2540 mm/min')).toBe('feed 100.00 in/min');
  });

  it('leave words of the program and other units alone', () => {
    const text = 'N10 G1 X254.000 at 18000 1/min, 12 mm³';
    expect(inch.sentence(text)).toBe(text);
  });
});

import { describe, expect, it } from 'vitest';
import { parseMarkdown, whyAndRest } from './markdown';

const SOURCE = `An axis would go beyond its travel,
as \`axis.X.max_mm\` states.

## At the machine
The control stops **in the cut**.

## Mend
- move the program
- take a shorter
  tool
`;

describe('parseMarkdown', () => {
  it('reads headings, paragraphs, code, strong and lists', () => {
    expect(parseMarkdown(SOURCE)).toEqual([
      {
        kind: 'paragraph',
        inlines: [
          { kind: 'text', text: 'An axis would go beyond its travel, as ' },
          { kind: 'code', text: 'axis.X.max_mm' },
          { kind: 'text', text: ' states.' },
        ],
      },
      { kind: 'heading', text: 'At the machine' },
      {
        kind: 'paragraph',
        inlines: [
          { kind: 'text', text: 'The control stops ' },
          { kind: 'strong', text: 'in the cut' },
          { kind: 'text', text: '.' },
        ],
      },
      { kind: 'heading', text: 'Mend' },
      {
        kind: 'list',
        items: [
          [{ kind: 'text', text: 'move the program' }],
          [{ kind: 'text', text: 'take a shorter tool' }],
        ],
      },
    ]);
  });

  it('never takes markup for markup', () => {
    const [block] = parseMarkdown('<img onerror=x> & `a`');
    expect(block).toMatchObject({ inlines: [{ text: '<img onerror=x> & ' }, { kind: 'code' }] });
  });
});

describe('whyAndRest', () => {
  it('says first what happens at the machine', () => {
    expect(whyAndRest(parseMarkdown(SOURCE)).why).toMatchObject([
      { inlines: [{ text: 'The control stops ' }, {}, {}] },
    ]);
  });

  it('says the first paragraph where nothing is marked so', () => {
    expect(whyAndRest(parseMarkdown('One.\n\nTwo.')).why).toMatchObject([
      { inlines: [{ text: 'One.' }] },
    ]);
    expect(whyAndRest([]).why).toEqual([]);
  });
});

/** A run of text inside a paragraph. */
export interface Inline {
  kind: 'text' | 'code' | 'strong';
  text: string;
}

export type Block =
  | { kind: 'heading'; text: string }
  | { kind: 'paragraph'; inlines: Inline[] }
  | { kind: 'list'; items: Inline[][] };

/** Reads the small Markdown of explanations: headings, paragraphs, lists, `code` and **strong**. */
export function parseMarkdown(source: string): Block[] {
  return source
    .split(/\n\s*\n|\n(?=#)|(?<=^#.*)\n/m)
    .map((chunk) => chunk.trim())
    .filter(Boolean)
    .map(blockOf);
}

function blockOf(chunk: string): Block {
  const heading = /^#+\s+(.*)$/.exec(chunk);
  if (heading) return { kind: 'heading', text: heading[1] };
  if (/^[-*]\s/.test(chunk)) {
    const items = chunk
      .split(/\n(?=[-*]\s)/)
      .map((item) => inlinesOf(item.replace(/^[-*]\s+/, '')));
    return { kind: 'list', items };
  }
  return { kind: 'paragraph', inlines: inlinesOf(chunk) };
}

function inlinesOf(text: string): Inline[] {
  const flat = text.replace(/\s*\n\s*/g, ' ');
  return flat
    .split(/(`[^`]+`|\*\*[^*]+\*\*)/)
    .filter(Boolean)
    .map((part): Inline => {
      if (part.length > 2 && part.startsWith('`')) return { kind: 'code', text: part.slice(1, -1) };
      if (part.length > 4 && part.startsWith('**'))
        return { kind: 'strong', text: part.slice(2, -2) };
      return { kind: 'text', text: part };
    });
}

/** Heading under which an explanation says what happens at the machine. */
const WHY = 'at the machine';

/** What of an explanation is said at once, and what waits until somebody asks. */
export function whyAndRest(blocks: Block[]): { why: Block[]; rest: Block[] } {
  const heading = blocks.findIndex((b) => b.kind === 'heading' && b.text.toLowerCase() === WHY);
  const at = heading >= 0 ? heading + 1 : 0;
  const why = blocks.slice(at, at + 1).filter((block) => block.kind === 'paragraph');
  return { why, rest: blocks };
}

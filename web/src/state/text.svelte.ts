import { SvelteMap } from 'svelte/reactivity';
import { getText } from '../api/client';
import { connection } from './connection.svelte';

/** Lines fetched at a time. */
const PAGE = 200;

/** The text of one program, fetched in pages as it is looked at; what was fetched stays. */
export class ProgramText {
  total = $state(0);
  private readonly pages = new SvelteMap<number, string[]>();
  private readonly asked = new Set<number>();

  constructor(
    readonly id: number,
    total: number,
  ) {
    this.total = total;
  }

  /** Line `line`, counted from 1; undefined while it is not here. */
  line(line: number): string | undefined {
    return this.pages.get(pageOf(line))?.[(line - 1) % PAGE];
  }

  /** Fetches what is missing of these lines, ends included. */
  want(first: number, last: number): void {
    for (let page = pageOf(Math.max(first, 1)); page <= pageOf(Math.max(last, 1)); page++) {
      if (!this.asked.has(page)) void this.fetch(page);
    }
  }

  /** Asks again for what did not come. */
  again(): void {
    for (const page of this.asked) if (!this.pages.has(page)) this.asked.delete(page);
  }

  private async fetch(page: number): Promise<void> {
    this.asked.add(page);
    try {
      const window = await getText(this.id, page * PAGE + 1, PAGE);
      this.pages.set(page, window.lines);
      this.total = window.total;
    } catch (thrown) {
      this.asked.delete(page);
      connection.noticed(thrown);
    }
  }
}

function pageOf(line: number): number {
  return Math.floor((line - 1) / PAGE);
}

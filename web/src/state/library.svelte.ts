import { getPrograms } from '../api/client';
import { asTrouble, type Trouble } from '../api/trouble';
import type { ProgramView } from '../api/types';
import { LARGEST_PROGRAM, sendProgram } from '../api/upload';
import { connection } from './connection.svelte';
import { router } from './route.svelte';

/** A file on its way to the server, or why it did not get there. */
export interface Sending {
  file: File;
  part: number;
  state: 'sending' | 'too-large' | 'failed';
  trouble: Trouble | null;
}

/** The programs that the server keeps, and files that people drop. */
class Library {
  programs = $state.raw<ProgramView[] | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  sendings = $state<Sending[]>([]);

  async load(): Promise<void> {
    this.trouble = null;
    try {
      this.programs = await getPrograms();
    } catch (thrown) {
      connection.noticed(thrown);
      this.trouble = asTrouble(thrown);
    }
  }

  /** Sends the files one after the other and opens the first that is kept. */
  async take(files: Iterable<File>): Promise<void> {
    this.sendings = this.sendings.filter((sending) => sending.state === 'sending');
    let opened = false;
    for (const file of files) {
      const program = await this.send(file);
      if (program && !opened) {
        opened = true;
        router.go(['program', String(program.id)]);
      }
    }
  }

  async again(sending: Sending): Promise<void> {
    this.dismiss(sending);
    await this.take([sending.file]);
  }

  dismiss(sending: Sending): void {
    this.sendings = this.sendings.filter((other) => other !== sending);
  }

  private async send(file: File): Promise<ProgramView | null> {
    this.sendings.push({ file, part: 0, state: 'sending', trouble: null });
    const sending = this.sendings[this.sendings.length - 1];
    if (file.size > LARGEST_PROGRAM) {
      sending.state = 'too-large';
      return null;
    }
    try {
      const program = await sendProgram(file, (part) => (sending.part = part));
      this.dismiss(sending);
      return program;
    } catch (thrown) {
      connection.noticed(thrown);
      sending.trouble = asTrouble(thrown);
      sending.state = sending.trouble.status === 413 ? 'too-large' : 'failed';
      return null;
    }
  }
}

export const library = new Library();

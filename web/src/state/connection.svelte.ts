import { getShop } from '../api/client';
import { asTrouble } from '../api/trouble';

const BEAT_MS = 15_000;
const RETRY_MS = 3_000;

/** Whether the server answers. Asks now and then, more often while it does not. */
class Connection {
  lost = $state(false);
  private timer: ReturnType<typeof setTimeout> | undefined;
  private readonly returned = new Set<() => void>();

  start(): void {
    addEventListener('offline', () => this.check());
    addEventListener('online', () => this.check());
    this.later();
  }

  /** Tells what a call came back with; gives the trouble on. */
  noticed(thrown: unknown): void {
    if (asTrouble(thrown).kind === 'lost' && !this.lost) {
      this.lost = true;
      this.later();
    }
  }

  async check(): Promise<void> {
    clearTimeout(this.timer);
    try {
      await getShop();
      if (this.lost) for (const tell of this.returned) tell();
      this.lost = false;
    } catch (thrown) {
      this.lost = asTrouble(thrown).kind === 'lost';
    }
    this.later();
  }

  /** Calls back each time the server answers again. Gives back how to stop that. */
  onReturn(tell: () => void): () => void {
    this.returned.add(tell);
    return () => this.returned.delete(tell);
  }

  private later(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.check(), this.lost ? RETRY_MS : BEAT_MS);
  }
}

export const connection = new Connection();

import { parseRoute, writeRoute, type Route } from '../lib/route';

/** The place shown, as the address after `#` says. */
class Router {
  current = $state.raw<Route>(parseRoute(location.hash));

  constructor() {
    addEventListener('hashchange', () => {
      this.current = parseRoute(location.hash);
    });
  }

  /** Goes to another place; the way back leads here. */
  go(path: string[], query: Record<string, string> = {}): void {
    location.hash = writeRoute({ path, query });
  }

  /** Says more exactly what is shown; the way back does not stop here. */
  refine(changes: Record<string, string | null>): void {
    const query = { ...this.current.query };
    for (const [key, value] of Object.entries(changes)) {
      if (value === null) delete query[key];
      else query[key] = value;
    }
    this.current = { ...this.current, query };
    history.replaceState(history.state, '', writeRoute(this.current));
  }
}

export const router = new Router();

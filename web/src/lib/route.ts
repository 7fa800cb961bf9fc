/** A place of the page and what is chosen there. */
export interface Route {
  path: string[];
  query: Record<string, string>;
}

export function parseRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#?\/?/, '').split('?', 2);
  return {
    path: path.split('/').filter(Boolean).map(decode),
    query: Object.fromEntries(new URLSearchParams(query)),
  };
}

export function writeRoute({ path, query }: Route): string {
  const search = new URLSearchParams(query).toString();
  return `#/${path.map(encodeURIComponent).join('/')}${search && `?${search}`}`;
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

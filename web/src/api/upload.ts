import { refusal, Trouble } from './trouble';
import type { ProgramView } from './types';

/** The largest program that the server takes, bytes. */
export const LARGEST_PROGRAM = 500_000_000;

/** Sends a file as it is. `fetch` cannot tell how much has gone out, so this uses the older way. */
export function sendProgram(file: File, onPart: (part: number) => void): Promise<ProgramView> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', `/api/v1/programs?name=${encodeURIComponent(file.name)}`);
    request.setRequestHeader('Content-Type', 'application/octet-stream');
    request.responseType = 'text';
    request.upload.addEventListener('progress', (event) =>
      onPart(event.loaded / Math.max(event.total, 1)),
    );
    request.addEventListener('error', () => reject(new Trouble('lost', 0, '', '')));
    request.addEventListener('load', () => {
      const body = read(request.responseText);
      if (request.status === 200 || request.status === 201) resolve(body as ProgramView);
      else reject(refusal(request.status, body));
    });
    request.send(file);
  });
}

function read(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

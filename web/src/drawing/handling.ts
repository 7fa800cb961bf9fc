import { Gestures, wheelFactor } from './gestures';
import type { Point } from './view';

/** What a drawing does when it is handled. */
export interface Handlers {
  change: (dx: number, dy: number, factor: number, at: Point) => void;
  zoom: (factor: number) => void;
  home: () => void;
  tap: (at: Point) => void;
}

const KEY_STEP_PX = 60;
export const KEY_FACTOR = 1.4;

const KEY_STEPS: Record<string, [number, number]> = {
  ArrowLeft: [KEY_STEP_PX, 0],
  ArrowRight: [-KEY_STEP_PX, 0],
  ArrowUp: [0, KEY_STEP_PX],
  ArrowDown: [0, -KEY_STEP_PX],
};

/** Lets an element be handled by pointers, wheel and keys. Gives back how to stop that. */
export function handle(host: HTMLElement, handlers: Handlers): () => void {
  const gestures = new Gestures();
  const place = (event: MouseEvent): Point => {
    const box = host.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const stop = new AbortController();
  const on = <K extends keyof HTMLElementEventMap>(
    type: K,
    listen: (event: HTMLElementEventMap[K]) => void,
  ): void => host.addEventListener(type, listen, { signal: stop.signal, passive: false });

  on('pointerdown', (event) => {
    if (event.pointerType === 'mouse' && event.button !== 0) return;
    host.setPointerCapture(event.pointerId);
    gestures.down(event.pointerId, place(event), event.timeStamp);
  });
  on('pointermove', (event) => {
    const change = gestures.move(event.pointerId, place(event));
    if (change) handlers.change(change.dx, change.dy, change.factor, change.at);
  });
  on('pointerup', (event) => {
    const tap = gestures.up(event.pointerId, event.timeStamp);
    if (tap) handlers.tap(tap);
  });
  on('pointercancel', (event) => gestures.cancel(event.pointerId));
  on('wheel', (event) => {
    event.preventDefault();
    handlers.change(0, 0, wheelFactor(event.deltaY, event.deltaMode, event.ctrlKey), place(event));
  });
  on('keydown', (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey && onKey(event.key, handlers)) {
      event.preventDefault();
    }
  });
  return () => stop.abort();
}

function onKey(key: string, { change, zoom, home }: Handlers): boolean {
  const step = KEY_STEPS[key];
  if (step) change(step[0], step[1], 1, [0, 0]);
  else if (key === '+' || key === '=') zoom(KEY_FACTOR);
  else if (key === '-') zoom(1 / KEY_FACTOR);
  else if (key === '0' || key === 'Home') home();
  else return false;
  return true;
}

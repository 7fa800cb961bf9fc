import { fit, keepNear, pan, zoomAt, type Box, type Padding, type Point, type View } from './view';
import { grow } from './shapes';

const PADDING: Padding = { left: 44, right: 52, top: 44, bottom: 66 };
const NARROW_PADDING: Padding = { left: 16, right: 40, top: 40, bottom: 84 };
/** A drawing narrower than this gets less paper around the sheet, pixels. */
const NARROW_PX = 560;
/** Table shown around what is brought into view, mm. */
const AROUND_MM = 120;
/** Bringing something into view zooms in to this at most, pixels per mm: its neighbourhood stays in sight. */
const CLOSE_SCALE = 1.2;

/** Holds the view of one drawing: fitted to the sheet until a person moves it. */
export class Camera {
  view = $state.raw<View | null>(null);
  private fitted = true;
  private home: Box = { min: [0, 0], max: [1, 1] };
  private edge: Box = this.home;
  private width = 0;
  private height = 0;

  /** Takes the size of the drawing, what is shown when fitted, and what the middle never leaves. */
  arrange(width: number, height: number, home: Box, edge: Box): void {
    this.width = width;
    this.height = height;
    this.home = home;
    this.edge = edge;
    if (width === 0 || height === 0) return;
    if (this.fitted || !this.view) this.view = this.fitTo(home);
    else this.view = { ...this.view, width, height };
  }

  showHome(): void {
    this.fitted = true;
    if (this.width > 0 && this.height > 0) this.view = this.fitTo(this.home);
  }

  /** Moves by pixels and zooms about a point of the drawing. */
  change(dx: number, dy: number, factor: number, at: Point): void {
    if (this.view) this.move(zoomAt(pan(this.view, dx, dy), factor, at));
  }

  zoom(factor: number): void {
    this.change(0, 0, factor, [this.width / 2, this.height / 2]);
  }

  /** Brings a box to the middle, as close as its neighbourhood allows. */
  bring(box: Box): void {
    if (!this.view) return;
    const close = this.fitTo(grow(box, AROUND_MM));
    const least = Math.min(close.scale, CLOSE_SCALE);
    this.move({ ...close, scale: Math.max(Math.min(this.view.scale, close.scale), least) });
  }

  private move(to: View): void {
    this.fitted = false;
    this.view = keepNear(to, this.edge);
  }

  private fitTo(box: Box): View {
    const padding = this.width < NARROW_PX ? NARROW_PADDING : PADDING;
    return fit(box, this.width, this.height, padding);
  }
}

import type { PlanPoint, PlanScene, PlanShape } from './scene.ts';
import { screenAt, type Size, type View } from './view.ts';

type Ink = Record<
  'sheet' | 'line' | 'edge' | 'ink' | 'soft' | 'focus' | 'fits' | 'close' | 'over' | 'unknown' | 'steel' | 'keep-out' | 'raised',
  string
>;
const NAMES = ['sheet', 'line', 'edge', 'ink', 'soft', 'focus', 'fits', 'close', 'over', 'unknown', 'steel', 'keep-out', 'raised'] as const;
const FONT = 'system-ui, sans-serif';
const LOADED_RADIUS = 11;

/** The theme's colours, as the canvas needs them. */
export function inkOf(element: Element): Ink {
  const style = getComputedStyle(element);
  return Object.fromEntries(NAMES.map((name) => [name, style.getPropertyValue(`--${name}`).trim()])) as Ink;
}

export function drawPlan(
  paper: CanvasRenderingContext2D,
  scene: PlanScene,
  {
    view,
    size,
    ink,
    selectedId,
    selectedHangId,
  }: { view: View; size: Size; ink: Ink; selectedId: string | null; selectedHangId: string | null },
): void {
  const at = (place: { xM: number; yM: number }) => screenAt(view, size, place);
  paper.clearRect(0, 0, size.width, size.height);
  grid(paper, view, size, ink);
  for (const shape of scene.keepOuts) keepOut(paper, shape, at, ink);
  paper.lineCap = 'round';
  for (const { label, from, to } of scene.members) {
    const [a, b] = [at(from), at(to)];
    line(paper, a, b, ink.steel, Math.max(1.5, Math.min(6, view.pxPerM * 0.12)));
    text(paper, label, a.x - 8, a.y, ink.soft, 12, 'right');
  }
  for (const shape of scene.ghosts) ghost(paper, shape, at, ink);
  for (const shape of scene.hangs) hang(paper, shape, at, ink, shape.id === selectedHangId);
  for (const { from, to } of scene.legs) line(paper, at(from), at(to), ink.ink, 1.5);
  const spacingPx = spacingM(scene.points) * view.pxPerM;
  const seen = scene.points.flatMap((point): Seen[] => {
    const place = at(point);
    const isSeen = place.x > -40 && place.y > -40 && place.x < size.width + 40 && place.y < size.height + 40;
    return isSeen ? [{ point, place, selected: point.id === selectedId }] : [];
  });
  for (const { point, place, selected } of seen) drawPoint(paper, point, place, { ink, spacingPx, selected });
  labels(paper, seen, spacingPx, ink);
}

type Seen = { readonly point: PlanPoint; readonly place: Spot; readonly selected: boolean };
type Box = { readonly x0: number; readonly x1: number; readonly y0: number; readonly y1: number };

/** The selected point's label, then those of loaded points, the fullest first, then all others: each only where it covers no other. */
function labels(paper: CanvasRenderingContext2D, seen: readonly Seen[], spacingPx: number, ink: Ink): void {
  const taken: Box[] = [];
  const put = (words: string, x: number, y: number): void => {
    const half = (words.length * LETTER_PX) / 2;
    const box = { x0: x - half, x1: x + half, y0: y - 7, y1: y + 7 };
    if (taken.some(({ x0, x1, y0, y1 }) => box.x0 < x1 && x0 < box.x1 && box.y0 < y1 && y0 < box.y1)) return;
    taken.push(box);
    text(paper, words, x, y, ink.ink, 12, 'center', ink.sheet);
  };
  const weight = ({ point, selected }: Seen) => (selected ? Infinity : point.mark === null ? -1 : (point.utilisation ?? 0));
  const worth = seen.filter(
    ({ point, selected }) => selected || spacingPx > ROOM_FOR_ALL_PX || (point.mark !== null && spacingPx > ROOM_FOR_LOADED_PX),
  );
  for (const { point, place } of worth.sort((a, b) => weight(b) - weight(a))) {
    const radius = radiusOf(point, spacingPx);
    put(point.label, place.x, place.y - radius - 9);
    if (point.mark !== null && point.utilisation !== null)
      put(`${Math.ceil(point.utilisation * 100 - 1e-9)} %`, place.x, place.y + radius + 10);
  }
}

const LETTER_PX = 7.2; // about what a letter of 12 px takes
const ROOM_FOR_ALL_PX = 36;
const ROOM_FOR_LOADED_PX = 6;
const radiusOf = ({ mark }: PlanPoint, spacingPx: number): number =>
  mark === null ? Math.max(2.2, Math.min(6, spacingPx * 0.18)) : Math.max(6, Math.min(LOADED_RADIUS, spacingPx * 0.45));

type Spot = { x: number; y: number };
type At = (place: { xM: number; yM: number }) => Spot;

const spacings = new WeakMap<readonly PlanPoint[], number>();
/** About how far apart points are: what decides whether there is room for their labels. */
function spacingM(points: readonly PlanPoint[]): number {
  const known = spacings.get(points);
  if (known !== undefined) return known;
  let smallest = Infinity;
  for (let index = 1; index < points.length; index += 1) {
    const [a, b] = [points[index - 1]!, points[index]!];
    const apart = Math.sqrt((a.xM - b.xM) ** 2 + (a.yM - b.yM) ** 2);
    if (apart > 0.05 && apart < smallest) smallest = apart;
  }
  const spacing = Number.isFinite(smallest) ? smallest : 3;
  spacings.set(points, spacing);
  return spacing;
}

function drawPoint(
  paper: CanvasRenderingContext2D,
  point: PlanPoint,
  { x, y }: Spot,
  { ink, spacingPx, selected }: { ink: Ink; spacingPx: number; selected: boolean },
): void {
  const { mark, utilisation, outOfService } = point;
  const isLoaded = mark !== null;
  const radius = radiusOf(point, spacingPx);
  if (selected) {
    paper.beginPath();
    paper.arc(x, y, radius + 6, 0, 2 * Math.PI);
    paper.strokeStyle = ink.focus;
    paper.lineWidth = 3;
    paper.stroke();
  }
  if (isLoaded) verdict(paper, mark, utilisation, { x, y, radius }, ink);
  else {
    paper.beginPath();
    paper.arc(x, y, radius, 0, 2 * Math.PI);
    paper.fillStyle = outOfService ? ink.sheet : ink.ink;
    paper.fill();
    if (outOfService) {
      paper.strokeStyle = ink.ink;
      paper.lineWidth = 1.5;
      paper.stroke();
      line(paper, { x: x - radius, y: y + radius }, { x: x + radius, y: y - radius }, ink.ink, 1.5);
    }
  }
}

/** A ring that fills with the utilisation; the shape around it and the sign inside tell the verdict without colour. */
function verdict(
  paper: CanvasRenderingContext2D,
  mark: PlanPoint['mark'],
  utilisation: number | null,
  { x, y, radius }: Spot & { radius: number },
  ink: Ink,
): void {
  const colour = mark === 'fits' || mark === 'close' || mark === 'over' ? ink[mark] : ink.unknown;
  paper.lineWidth = 2;
  paper.strokeStyle = colour;
  paper.fillStyle = ink.sheet;
  paper.setLineDash(mark === 'unknown' ? [3, 3] : []);
  outline(paper, mark, x, y, radius);
  paper.fill();
  paper.stroke();
  paper.setLineDash([]);
  if (utilisation !== null) {
    paper.beginPath();
    paper.arc(x, y, radius * 0.64, -Math.PI / 2, -Math.PI / 2 + 2 * Math.PI * Math.min(1, utilisation));
    paper.lineWidth = radius * 0.32;
    paper.stroke();
  }
  const sign = mark === 'close' ? '!' : mark === 'over' ? '×' : mark === 'unknown' ? '?' : '';
  if (sign !== '' && radius > 8) text(paper, sign, x, y + 0.5, ink.ink, 11, 'center');
}

function outline(paper: CanvasRenderingContext2D, mark: PlanPoint['mark'], x: number, y: number, radius: number): void {
  paper.beginPath();
  if (mark === 'close') polygon(paper, x, y + 2, radius * 1.45, 3, -Math.PI / 2);
  else if (mark === 'over') polygon(paper, x, y, radius * 1.18, 8, Math.PI / 8);
  else paper.arc(x, y, radius, 0, 2 * Math.PI);
}

function polygon(paper: CanvasRenderingContext2D, x: number, y: number, radius: number, corners: number, turn: number): void {
  for (let corner = 0; corner < corners; corner += 1) {
    const angle = turn + (corner * 2 * Math.PI) / corners;
    paper.lineTo(x + radius * Math.cos(angle), y + radius * Math.sin(angle));
  }
  paper.closePath();
}

function grid(paper: CanvasRenderingContext2D, view: View, size: Size, ink: Ink): void {
  const stepM = [1, 2, 5, 10, 20, 50].find((step) => step * view.pxPerM >= 42) ?? 100;
  const [halfW, halfH] = [size.width / 2 / view.pxPerM, size.height / 2 / view.pxPerM];
  paper.strokeStyle = ink.line;
  paper.globalAlpha = 0.45;
  paper.lineWidth = 1;
  paper.beginPath();
  for (let xM = Math.ceil((view.xM - halfW) / stepM) * stepM; xM <= view.xM + halfW; xM += stepM) {
    const { x } = screenAt(view, size, { xM, yM: 0 });
    paper.moveTo(Math.round(x) + 0.5, 0);
    paper.lineTo(Math.round(x) + 0.5, size.height);
  }
  for (let yM = Math.ceil((view.yM - halfH) / stepM) * stepM; yM <= view.yM + halfH; yM += stepM) {
    const { y } = screenAt(view, size, { xM: 0, yM });
    paper.moveTo(0, Math.round(y) + 0.5);
    paper.lineTo(size.width, Math.round(y) + 0.5);
  }
  paper.stroke();
  paper.globalAlpha = 1;
  const datum = screenAt(view, size, { xM: 0, yM: 0 });
  paper.beginPath();
  paper.arc(datum.x, datum.y, 7, 0, 2 * Math.PI);
  paper.moveTo(datum.x - 12, datum.y);
  paper.lineTo(datum.x + 12, datum.y);
  paper.moveTo(datum.x, datum.y - 12);
  paper.lineTo(datum.x, datum.y + 12);
  paper.strokeStyle = ink.edge;
  paper.stroke();
}

function path(paper: CanvasRenderingContext2D, { corners }: PlanShape, at: At): void {
  paper.beginPath();
  for (const corner of corners) {
    const { x, y } = at(corner);
    paper.lineTo(x, y);
  }
  paper.closePath();
}

function keepOut(paper: CanvasRenderingContext2D, shape: PlanShape, at: At, ink: Ink): void {
  path(paper, shape, at);
  paper.save();
  paper.globalAlpha = 0.18;
  paper.fillStyle = ink['keep-out'];
  paper.fill();
  paper.restore();
  paper.setLineDash([6, 4]);
  paper.strokeStyle = ink['keep-out'];
  paper.lineWidth = 1.5;
  paper.stroke();
  paper.setLineDash([]);
}

function hang(paper: CanvasRenderingContext2D, shape: PlanShape, at: At, ink: Ink, selected: boolean): void {
  path(paper, shape, at);
  paper.fillStyle = ink.raised;
  paper.fill();
  paper.strokeStyle = selected ? ink.focus : ink.ink;
  paper.lineWidth = selected ? 3 : 1.5;
  paper.stroke();
}

function ghost(paper: CanvasRenderingContext2D, shape: PlanShape, at: At, ink: Ink): void {
  path(paper, shape, at);
  paper.setLineDash([4, 4]);
  paper.strokeStyle = ink.soft;
  paper.lineWidth = 1.5;
  paper.stroke();
  paper.setLineDash([]);
}

function line(paper: CanvasRenderingContext2D, a: Spot, b: Spot, colour: string, width: number): void {
  paper.beginPath();
  paper.moveTo(a.x, a.y);
  paper.lineTo(b.x, b.y);
  paper.strokeStyle = colour;
  paper.lineWidth = width;
  paper.stroke();
}

function text(
  paper: CanvasRenderingContext2D,
  words: string,
  x: number,
  y: number,
  colour: string,
  sizePx: number,
  align: CanvasTextAlign,
  halo?: string,
): void {
  paper.font = `600 ${sizePx}px ${FONT}`;
  paper.textAlign = align;
  paper.textBaseline = 'middle';
  if (halo !== undefined) {
    paper.strokeStyle = halo;
    paper.lineWidth = 3;
    paper.lineJoin = 'round';
    paper.strokeText(words, x, y);
  }
  paper.fillStyle = colour;
  paper.fillText(words, x, y);
}

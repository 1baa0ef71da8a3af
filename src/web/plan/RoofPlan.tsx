import { useCallback, useEffect, useId, useLayoutEffect, useRef, useState, type KeyboardEvent, type PointerEvent } from 'react';
import { useUnits } from '../units/units-choice.ts';
import { lengthText } from '../units/units.ts';
import { words } from '../words.ts';
import { drawPlan, inkOf } from './draw.ts';
import type { PlanScene } from './scene.ts';
import {
  nearestWithin,
  neighbourOf,
  panned,
  placeAt,
  screenAt,
  wholeRoof,
  zoomedAt,
  type Direction,
  type Size,
  type View,
} from './view.ts';

type Props = {
  scene: PlanScene;
  selectedId: string | null;
  onSelect: (pointId: string | null) => void;
  selectedHangId?: string | null;
};

const ARROWS: Record<string, Direction> = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down' };
const REACH_PX = 22;
const CLICK_PX = 5; // moved less than this, a press is a click

/** The roof to scale. Everything that it shows is in a list beside it too. */
export function RoofPlan({ scene, selectedId, onSelect, selectedHangId = null }: Props) {
  const units = useUnits();
  const id = useId();
  const canvas = useRef<HTMLCanvasElement>(null);
  const view = useRef<View | null>(null);
  const size = useRef<Size>({ width: 0, height: 0 });
  const asked = useRef(0);
  const [barM, setBarM] = useState(5);
  const drawn = useRef({ scene, selectedId, selectedHangId });

  const draw = useCallback(() => {
    cancelAnimationFrame(asked.current);
    asked.current = requestAnimationFrame(() => {
      const paper = canvas.current?.getContext('2d');
      if (!paper || !canvas.current || size.current.width === 0) return;
      view.current ??= wholeRoof(drawn.current.scene, size.current);
      const ratio = devicePixelRatio;
      paper.setTransform(ratio, 0, 0, ratio, 0, 0);
      drawPlan(paper, drawn.current.scene, { ...drawn.current, view: view.current, size: size.current, ink: inkOf(canvas.current) });
      setBarM([1, 2, 5, 10, 20, 50].find((metres) => metres * view.current!.pxPerM >= 60) ?? 100);
    });
  }, []);

  useLayoutEffect(() => {
    drawn.current = { scene, selectedId, selectedHangId };
    draw();
  }, [scene, selectedId, selectedHangId, draw]);

  useEffect(() => {
    const element = canvas.current!;
    const watch = new ResizeObserver(([entry]) => {
      const { width, height } = entry!.contentRect;
      size.current = { width, height };
      [element.width, element.height] = [Math.round(width * devicePixelRatio), Math.round(height * devicePixelRatio)];
      draw();
    });
    watch.observe(element);
    const scheme = matchMedia('(prefers-color-scheme: light)');
    scheme.addEventListener('change', draw);
    // React listens to the wheel passively, and then the page would scroll as well.
    const onWheel = (event: WheelEvent) => {
      if (!view.current) return;
      event.preventDefault();
      const box = element.getBoundingClientRect();
      const factor = Math.exp(-event.deltaY * 0.0015);
      view.current = zoomedAt(view.current, size.current, event.clientX - box.left, event.clientY - box.top, factor);
      draw();
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => {
      watch.disconnect();
      scheme.removeEventListener('change', draw);
      element.removeEventListener('wheel', onWheel);
      cancelAnimationFrame(asked.current);
    };
  }, [draw]);

  const zoom = (factor: number) => {
    if (!view.current) return;
    view.current = zoomedAt(view.current, size.current, size.current.width / 2, size.current.height / 2, factor);
    draw();
  };
  const showWhole = () => {
    view.current = wholeRoof(scene, size.current);
    draw();
  };
  const keepInSight = (place: { xM: number; yM: number }) => {
    if (!view.current) return;
    const { x, y } = screenAt(view.current, size.current, place);
    const { width, height } = size.current;
    if (x < 30 || y < 30 || x > width - 30 || y > height - 30) view.current = { ...view.current, xM: place.xM, yM: place.yM };
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const direction = ARROWS[event.key];
    if (direction) {
      event.preventDefault();
      const from = scene.points.find((point) => point.id === selectedId);
      const next = from ? neighbourOf(scene.points, from, direction) : scene.points[0];
      if (!next) return;
      keepInSight(next);
      onSelect(next.id);
    } else if (event.key === '+' || event.key === '=') zoom(1.4);
    else if (event.key === '-') zoom(1 / 1.4);
    else if (event.key === '0') showWhole();
    else if (event.key === 'Escape') onSelect(null);
  };

  const fingers = useRef(new Map<number, { x: number; y: number }>());
  const moved = useRef(0);
  const onPointerDown = (event: PointerEvent) => {
    (event.target as Element).setPointerCapture(event.pointerId);
    fingers.current.set(event.pointerId, { x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY });
    moved.current = 0;
  };
  const onPointerMove = (event: PointerEvent) => {
    const was = fingers.current.get(event.pointerId);
    if (!was || !view.current) return;
    const is = { x: event.nativeEvent.offsetX, y: event.nativeEvent.offsetY };
    moved.current += Math.abs(is.x - was.x) + Math.abs(is.y - was.y);
    const other = [...fingers.current].find(([pointer]) => pointer !== event.pointerId)?.[1];
    if (other) {
      const apart = (spot: { x: number; y: number }) => Math.sqrt((spot.x - other.x) ** 2 + (spot.y - other.y) ** 2);
      view.current = zoomedAt(view.current, size.current, (is.x + other.x) / 2, (is.y + other.y) / 2, apart(is) / Math.max(1, apart(was)));
    } else view.current = panned(view.current, is.x - was.x, is.y - was.y);
    fingers.current.set(event.pointerId, is);
    draw();
  };
  const onPointerUp = (event: PointerEvent) => {
    fingers.current.delete(event.pointerId);
    if (moved.current > CLICK_PX || !view.current) return;
    const at = placeAt(view.current, size.current, event.nativeEvent.offsetX, event.nativeEvent.offsetY);
    onSelect(nearestWithin(scene.points, at, REACH_PX / view.current.pxPerM)?.id ?? null);
  };

  const active = scene.points.findIndex((point) => point.id === selectedId);
  const point = scene.points[active];
  return (
    <div className="plan">
      <div
        className="surface"
        role="listbox"
        tabIndex={0}
        aria-label={words.plan.label}
        aria-activedescendant={point ? `${id}-${point.id}` : undefined}
        onKeyDown={onKeyDown}
      >
        <canvas
          ref={canvas}
          aria-hidden="true"
          onPointerDown={onPointerDown}
          onPointerMove={onPointerMove}
          onPointerUp={onPointerUp}
          onPointerCancel={(event) => fingers.current.delete(event.pointerId)}
        />
        {(point ? [point] : scene.points.slice(0, 1)).map((one) => (
          <div
            key={one.id}
            id={`${id}-${one.id}`}
            className="unseen"
            role="option"
            aria-selected={one === point}
            aria-setsize={scene.points.length}
            aria-posinset={scene.points.indexOf(one) + 1}
          >
            {one.spoken()}
          </div>
        ))}
      </div>
      <div className="tools">
        <button type="button" aria-label={words.plan.zoomIn} onClick={() => zoom(1.4)}>
          +
        </button>
        <button type="button" aria-label={words.plan.zoomOut} onClick={() => zoom(1 / 1.4)}>
          −
        </button>
        <button type="button" aria-label={words.plan.whole} onClick={showWhole}>
          ⤢
        </button>
      </div>
      <svg className="scale" width="160" height="26" aria-hidden="true">
        <path d={`M1 20v4h${(barM * (view.current?.pxPerM ?? 0)).toFixed(0)}v-4`} fill="none" stroke="currentColor" strokeWidth="2" />
        <text x="2" y="13" fill="currentColor">
          {lengthText(barM, units)}
        </text>
      </svg>
    </div>
  );
}

/** How full a vessel is: a small picture of its kind in which the wine takes its true share of the room. */
import type { Fullness } from '../report/charted.ts';
import { escapeText } from '../report/escape.ts';
import { element, round } from './svg.ts';

const SIZE = 40;
/** Half a stroke, so that nothing is cut at the edge. */
const EDGE = 1;

/** The half width of a vessel at a height, both of one; and whether it is round seen from above. */
interface Shape {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly half: (height: number) => number;
  readonly turned: boolean;
  /** Straight walls need no steps. */
  readonly steps: number;
}

const straight = (width: number, height: number): Shape => ({
  left: (SIZE - width) / 2,
  top: SIZE - EDGE - height,
  width,
  height,
  half: () => 1,
  turned: false,
  steps: 1,
});

/** A circle seen from its head: a vessel lying on its side. */
const lying = (size: number): Shape => ({
  ...straight(size, size),
  half: (height) => 2 * Math.sqrt(Math.max(0, height * (1 - height))),
  steps: 24,
});

const shaped = (width: number, height: number, half: (height: number) => number): Shape => ({
  ...straight(width, height),
  half,
  turned: true,
  steps: 16,
});

const SHAPES: Readonly<Record<string, Shape>> = {
  bin: straight(38, 26),
  tank: straight(26, 38),
  barrel: lying(34),
  puncheon: lying(38),
  foudre: lying(38),
  keg: straight(18, 26),
  carboy: shaped(24, 34, (height) => (height < 0.7 ? 1 : Math.max(0.28, 1 - ((height - 0.7) / 0.18) * 0.72))),
  egg: shaped(28, 38, (height) => Math.sqrt(Math.max(0, height * (1 - height))) * (2.1 - 0.5 * height)),
  amphora: shaped(28, 38, (height) => 0.25 + 0.75 * Math.sin(Math.PI * Math.min(1, 0.12 + 0.72 * height)) ** 0.9),
  drum: straight(24, 32),
  flexitank: straight(38, 16),
  'press-pan': straight(38, 12),
};
const ANY: Shape = straight(30, 30);

/** A picture named by its text value, to stand beside that value. */
export function fullness(data: Fullness): string {
  const shape = SHAPES[data.kind] ?? ANY;
  const share = Math.min(1, Math.max(0, data.share));
  const level = share === 0 ? 0 : share === 1 ? 1 : levelOf(shape, share);
  const surface = shape.top + shape.height * (1 - level);
  const half = (shape.width / 2) * shape.half(level);
  return element(
    'svg',
    { class: 'gauge', role: 'img', viewBox: `0 0 ${SIZE} ${SIZE}`, width: SIZE, height: SIZE },
    element('title', {}, escapeText(data.text)),
    element('path', { class: 'room', d: outline(shape, 1) }),
    share === 0 ? '' : element('path', { class: `wine ${TINTS[data.tint]}`, d: outline(shape, level) }),
    share === 0
      ? ''
      : element('path', {
          class: data.estimated ? 'surface estimated' : 'surface',
          d: `M${round(SIZE / 2 - half)},${round(surface)}H${round(SIZE / 2 + half)}`,
        }),
    data.fermenting && share > 0 ? bubbles(shape, level) : '',
    element('path', { class: 'wall', d: outline(shape, 1) }),
  );
}

const TINTS = { red: 'red', white: 'white', rosé: 'rose', plain: 'plain' } as const;

/** The height below which a share of the vessel's room lies, by halving. */
function levelOf(shape: Shape, share: number): number {
  if (shape.steps === 1) return share;
  const whole = roomBelow(shape, 1);
  let low = 0;
  let high = 1;
  for (let turn = 0; turn < 20; turn += 1) {
    const middle = (low + high) / 2;
    if (roomBelow(shape, middle) < share * whole) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const SLICES = 64;

function roomBelow(shape: Shape, level: number): number {
  let room = 0;
  for (let slice = 0; slice < SLICES; slice += 1) {
    const half = shape.half(((slice + 0.5) / SLICES) * level);
    room += shape.turned ? half * half : half;
  }
  return (room * level) / SLICES;
}

/** The vessel's outline from its floor up to a level. */
function outline(shape: Shape, level: number): string {
  const middle = SIZE / 2;
  const floor = shape.top + shape.height;
  if (shape.steps === 1) {
    const left = middle - shape.width / 2;
    return `M${round(left)},${round(floor)}V${round(floor - shape.height * level)}h${round(shape.width)}V${round(floor)}Z`;
  }
  if (!shape.turned) return segment(shape, level);
  const rising: string[] = [];
  const falling: string[] = [];
  for (let step = 0; step <= shape.steps; step += 1) {
    // Closer steps at both ends, where round walls turn fastest.
    const height = ((1 - Math.cos((Math.PI * step) / shape.steps)) / 2) * level;
    const half = (shape.width / 2) * shape.half(height);
    const y = round(floor - shape.height * height);
    rising.push(`${round(middle - half)},${y}`);
    falling.unshift(`${round(middle + half)},${y}`);
  }
  return `M${rising.join('L')}L${falling.join('L')}Z`;
}

/** A circle up to a level, with arcs. */
function segment(shape: Shape, level: number): string {
  const radius = shape.width / 2;
  const middle = SIZE / 2;
  const floor = shape.top + shape.height;
  const r = round(radius);
  if (level >= 1) {
    return `M${round(middle)},${round(floor)}a${r},${r} 0 1 1 0,-${round(shape.height)}a${r},${r} 0 1 1 0,${round(shape.height)}Z`;
  }
  const half = radius * shape.half(level);
  const y = round(floor - shape.height * level);
  return `M${round(middle - half)},${y}A${r},${r} 0 ${level > 0.5 ? 1 : 0} 0 ${round(middle + half)},${y}Z`;
}

function bubbles(shape: Shape, level: number): string {
  const floor = shape.top + shape.height;
  const depth = shape.height * level;
  if (depth < 8) return '';
  const middle = SIZE / 2;
  return [
    [-4, 0.3, 1.4],
    [3, 0.5, 1.1],
    [-1, 0.72, 1.6],
  ]
    .map(([dx = 0, up = 0, r = 1]) =>
      element('circle', { class: 'bubble', cx: middle + dx, cy: floor - depth * up, r }),
    )
    .join('');
}

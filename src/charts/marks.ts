/** Strips of marks beneath a panel: what was done, when, each sort with a shape of its own. */
import { type SymbolType, symbol, symbolCircle, symbolDiamond, symbolSquare, symbolTriangle } from 'd3-shape';
import type { Mark, MarkShape, MarkStrip } from '../report/charted.ts';
import type { Scale } from './axis.ts';
import { DIGITS, element, hint, text } from './svg.ts';

/** The height of a strip, with its name. */
export const STRIP = 30;

const SYMBOLS: Readonly<Record<Exclude<MarkShape, 'stroke' | 'cross'>, SymbolType>> = {
  diamond: symbolDiamond,
  triangle: symbolTriangle,
  circle: symbolCircle,
  square: symbolSquare,
};

export function markStrip(strip: MarkStrip, x: Scale, top: number, left: number, right: number): string {
  const middle = top + 20;
  return (
    text(`${strip.name} (${strip.marks.length})`, { class: 'strip', x: left, y: top + 9 }) +
    element('line', { class: 'grid', x1: left, x2: right, y1: middle, y2: middle }) +
    strip.marks.map((mark) => markAt(mark, strip.shape, x(mark.minute), middle)).join('')
  );
}

export function markAt(mark: Mark, shape: MarkShape, x: number, y: number): string {
  const place = `translate(${x.toFixed(DIGITS)},${y.toFixed(DIGITS)})`;
  return element(
    'g',
    { class: `mark ${shape}`, transform: place },
    hint(mark.label),
    element('path', { d: outlineOf(shape) }),
  );
}

function outlineOf(shape: MarkShape): string {
  if (shape === 'stroke') return 'M0,-5V5';
  if (shape === 'cross') return 'M-4,-4L4,4M-4,4L4,-4';
  return symbol(SYMBOLS[shape], 42).digits(DIGITS)() ?? '';
}

/** How many marks each strip has, for a description; nothing where there are none. */
export function countsOf(strips: readonly MarkStrip[]): string {
  const marks = strips.map(({ name, marks }) => `${name}: ${marks.length}`).join('; ');
  return marks === '' ? '' : ` Marked beneath: ${marks}.`;
}

/** Panels beneath each other on one axis of days: their scales, ticks and headings, and the room their figures and names need. */
import { bottomAxis, dateTicks, leftAxis, linear, niceLinear, numberTicks, type Tick, uprights } from './axis.ts';
import { BOLD, broken, TICK_SIZE, widthOf } from './labels.ts';
import type { Panel } from './lines.ts';
import { type Frame, isWide, text } from './svg.ts';

const TOP = 24;
/** Between a panel and the next one's unit and heading. */
const GAP = 34;
/** What the days beneath the last panel take. */
const FOOT = 26;
/** What figures at the left have at least, and names at the right. */
const LEFT = 40;
const RIGHT_WIDE = 96;
const RIGHT_NARROW = 66;

const HEADING_LINE = 14;
const MOST_HEADING_LINES = 2;
/** How far above its panel a heading stands; the unit stands beside it. */
const ABOVE = 11;

export interface WantedPanel {
  readonly unit: string;
  /** What it shows, where the unit does not say it. */
  readonly heading?: string;
  readonly extent: readonly [number, number];
  readonly height: number;
  /** About how many ticks it has. */
  readonly ticks: number;
}

export interface StackedPanel extends Panel {
  readonly unit: string;
  readonly left: number;
  readonly headingX: number;
  readonly heading: readonly string[];
  readonly ticks: readonly Tick[];
}

export interface Stack {
  readonly panels: readonly StackedPanel[];
  readonly x: Panel['x'];
  readonly days: readonly Tick[];
  readonly left: number;
  readonly right: number;
  /** What is left for names beyond the panels. */
  readonly room: number;
  readonly top: number;
  /** Where the last panel ends, and where what stands beneath its days begins. */
  readonly bottom: number;
  readonly foot: number;
}

export function stack(wanted: readonly WantedPanel[], [from, until]: readonly [number, number], frame: Frame): Stack {
  const right = frame.width - (isWide(frame) ? RIGHT_WIDE : RIGHT_NARROW);
  const room = frame.width - right - 7;
  const measured = wanted.map((panel) => {
    const y = niceLinear(panel.extent[0], panel.extent[1], [panel.height, 0], panel.ticks);
    return { ...panel, y, marks: numberTicks(y, panel.ticks) };
  });
  const figures = measured.flatMap(({ marks }) => marks.map(({ label }) => Math.ceil(widthOf(label, TICK_SIZE)) + 8));
  const left = Math.max(LEFT, ...figures);
  const x = linear([from, until], [left, right]);
  let top = TOP;
  let bottom = TOP;
  const panels = measured.map(({ unit, heading = '', y, height, marks }, index): StackedPanel => {
    const headingX = Math.max(left, widthOf(unit, TICK_SIZE) * BOLD + 8);
    const words = heading === '' ? [] : broken(heading, (frame.width - headingX) / BOLD, MOST_HEADING_LINES, TICK_SIZE);
    top = (index === 0 ? TOP : bottom + GAP) + Math.max(0, words.length - 1) * HEADING_LINE;
    bottom = top + height;
    const own = { x, y: y.copy().range([bottom, top]), top, bottom, right, room };
    return { ...own, unit, left, headingX, heading: words, ticks: marks };
  });
  const days = dateTicks(from, until, right - left);
  return { panels, x, days, left, right, room, top: TOP, bottom, foot: bottom + FOOT };
}

/** What lies under everything: the days as light uprights. */
export function dayLines({ x, days, top, bottom }: Stack): string {
  return uprights(x, days, top, bottom);
}

/** The figures of a panel with its unit and what it shows; of several lines the last stands beside the unit. */
export function panelAxis({ y, ticks, left, right, unit, top, heading, headingX }: StackedPanel): string {
  const words = heading.map((line, index) => {
    const above = ABOVE + (heading.length - 1 - index) * HEADING_LINE;
    return text(line, { class: 'heading', x: headingX, y: top - above });
  });
  return leftAxis(y, ticks, left, right, unit) + words.join('');
}

/** The days beneath the last panel. */
export function dayAxis({ x, days, left, right, bottom }: Stack): string {
  return bottomAxis(x, days, left, right, bottom);
}

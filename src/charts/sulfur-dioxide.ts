/** Sulfur dioxide over time: free and total on one panel, the molecular on its own with what it is kept at, additions beneath. */
import type { CurvePoint, CurveSeries, SulfurDioxide } from '../report/charted.ts';
import { dayOf, dayText } from '../report/dates.ts';
import { middleOf } from '../report/median.ts';
import { counted } from '../report/names.ts';
import { broken, figure, TICK_SIZE } from './labels.ts';
import { extentOf, finite, linesAndPoints, type Panel, timeOf } from './lines.ts';
import { countsOf, markStrip, STRIP } from './marks.ts';
import { dayAxis, dayLines, panelAxis, type StackedPanel, stack } from './panels.ts';
import { drawing, element, type Frame, isWide, text } from './svg.ts';

const LOOKS = new Map([
  ['free', 's1'],
  ['total', 's2'],
  ['molecular', 's4'],
]);

export function sulfurDioxide(given: SulfurDioxide, frame: Frame): string {
  const data = {
    ...given,
    free: finite(given.free),
    total: finite(given.total),
    molecular: finite(given.molecular),
  };
  const wide = isWide(frame);
  const measured = [
    { name: 'free', points: data.free },
    { name: 'total', points: data.total },
  ];
  const molecular = { name: 'molecular', points: data.molecular };
  const { target } = data;
  const bounds = target === undefined ? [] : [target.low, target.high ?? target.low];
  const [from, until] = timeOf(
    [...measured, molecular],
    data.strips.flatMap(({ marks }) => marks),
  );
  const stacked = stack(
    [
      {
        unit: data.unit,
        heading: 'free and total',
        extent: fromNothing(measured, []),
        height: wide ? 160 : 140,
        ticks: 5,
      },
      {
        unit: data.unit,
        heading: `molecular by ${data.method}`,
        extent: fromNothing([molecular], bounds),
        height: wide ? 110 : 96,
        ticks: 4,
      },
    ],
    [from, until],
    frame,
  );
  const parts = [dayLines(stacked)];
  for (const [index, panel] of stacked.panels.entries()) {
    const series = index === 0 ? measured : [molecular];
    // What the molecular is stands above its panel; beside it is the target's place.
    const into = index === 0 ? panel : { ...panel, room: 0 };
    parts.push(
      panelAxis(panel),
      index === 0 || target === undefined ? '' : aim(target, panel),
      ...series.map(({ name, points }) => scatter(points, LOOKS.get(name) ?? 's1', panel)),
      linesAndPoints(series.map(middles), LOOKS, into),
    );
  }
  parts.push(dayAxis(stacked));
  let end = stacked.foot;
  for (const strip of data.strips) {
    parts.push(markStrip(strip, stacked.x, end, stacked.left, stacked.right));
    end += STRIP;
  }
  return drawing(frame, end + 4, data.title, describe(data, from, until), ...parts);
}

/** From nothing to the most there is to show. */
function fromNothing(series: readonly CurveSeries[], bounds: readonly number[]): [number, number] {
  const [low, high] = extentOf(series, 0, ...bounds) ?? [0, 1];
  return [low, high === low ? low + 1 : high];
}

/** Of what was read at one minute in several vessels the line follows the middle; below a limit only if most were. */
function middles({ name, points }: CurveSeries): CurveSeries {
  const rounds = new Map<number, CurvePoint[]>();
  for (const point of points) rounds.set(point.minute, [...(rounds.get(point.minute) ?? []), point]);
  return {
    name,
    points: [...rounds]
      .sort(([a], [b]) => a - b)
      .map(([minute, read]) => ({
        minute,
        value: middleOf(read.map(({ value }) => value).sort((a, b) => a - b)),
        below: read.filter(({ below }) => below === true).length * 2 > read.length,
      })),
  };
}

/** Every reading where several were taken at one minute. */
function scatter(points: readonly CurvePoint[], look: string, { x, y }: Panel): string {
  const counts = new Map<number, number>();
  for (const { minute } of points) counts.set(minute, (counts.get(minute) ?? 0) + 1);
  const dots = points.flatMap(({ minute, value }) =>
    (counts.get(minute) ?? 0) > 1 ? [element('circle', { cx: x(minute), cy: y(value), r: 1.5 })] : [],
  );
  return dots.length === 0 ? '' : element('g', { class: `scatter ${look}` }, ...new Set(dots));
}

/** The target: a line from which on it is kept, or a band between two; its words stand beside it. */
function aim(
  target: NonNullable<SulfurDioxide['target']>,
  { y, top, bottom, left, right, room }: StackedPanel,
): string {
  const low = y(target.low);
  const high = y(target.high ?? target.low);
  const line = (at: number): string => element('line', { class: 'target', x1: left, x2: right + 4, y1: at, y2: at });
  const words = broken(target.text, room, 3, TICK_SIZE);
  const middle = (low + high) / 2 - ((words.length - 1) * 13) / 2 + 4;
  const first = Math.min(Math.max(middle, top + 4), bottom + 4 - (words.length - 1) * 13);
  return (
    (high === low ? '' : element('rect', { class: 'aim', x: left, y: high, width: right - left, height: low - high })) +
    line(low) +
    (high === low ? '' : line(high)) +
    words.map((word, index) => text(word, { class: 'tick', x: right + 7, y: first + index * 13 })).join('')
  );
}

function describe(data: SulfurDioxide, from: number, until: number): string {
  const said = [
    ['free', data.free],
    ['total', data.total],
    ['molecular', data.molecular],
  ] as const;
  const last = said.flatMap(([name, points]) => {
    const point = points.at(-1);
    if (point === undefined) return [];
    return [`${name} ${point.below === true ? 'below ' : ''}${figure(point.value)} ${data.unit}`];
  });
  const readings = data.free.length + data.total.length;
  return (
    `${counted(readings, 'reading')} of free and total from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}; ` +
    `molecular by ${data.method}${data.target === undefined ? '' : `, ${data.target.text}`}.` +
    `${last.length === 0 ? '' : ` Last: ${last.join(', ')}.`}${countsOf(data.strips)}`
  );
}

/** What falls until it counts as finished, by vessel: malic acid, with the level at which it is done. */
import type { Falling } from '../report/charted.ts';
import { dayOf, dayText } from '../report/dates.ts';
import { counted, nameList } from '../report/names.ts';
import { figure, shorten, TICK_SIZE } from './labels.ts';
import { extentOf, finite, linesAndPoints, looksOf, timeOf } from './lines.ts';
import { countsOf, markStrip, STRIP } from './marks.ts';
import { dayAxis, dayLines, panelAxis, type StackedPanel, stack } from './panels.ts';
import { drawing, element, type Frame, isWide, text } from './svg.ts';

export function falling(data: Falling, frame: Frame): string {
  const series = data.series.map(({ name, points }) => ({ name, points: finite(points) }));
  const [from, until] = timeOf(
    series,
    data.strips.flatMap(({ marks }) => marks),
  );
  // The level lies in the lower half, whatever was read.
  const [low, high] = extentOf(series, 0, 2 * (data.finished?.value ?? 0)) ?? [0, 0];
  const stacked = stack(
    [
      {
        unit: data.unit,
        heading: data.substance,
        extent: [low, high === low ? low + 1 : high],
        height: isWide(frame) ? 200 : 170,
        ticks: 5,
      },
    ],
    [from, until],
    frame,
  );
  const parts = [
    dayLines(stacked),
    ...stacked.panels.map(
      (panel) =>
        panelAxis(panel) +
        (data.finished === undefined ? '' : done(data.finished, panel)) +
        linesAndPoints(series, looksOf(series), panel),
    ),
    dayAxis(stacked),
  ];
  let end = stacked.foot;
  for (const strip of data.strips) {
    parts.push(markStrip(strip, stacked.x, end, stacked.left, stacked.right));
    end += STRIP;
  }
  return drawing(frame, end + 4, data.title, describe({ ...data, series }, from, until), ...parts);
}

/** The level, with its words at the left: there the lines are still high. */
function done(finished: NonNullable<Falling['finished']>, { y, left, right }: StackedPanel): string {
  const at = y(finished.value);
  return (
    element('line', { class: 'target', x1: left, x2: right, y1: at, y2: at }) +
    text(shorten(finished.text, right - left - 12, TICK_SIZE), { class: 'tick halo', x: left + 6, y: at - 5 })
  );
}

function describe(data: Falling, from: number, until: number): string {
  const readings = data.series.reduce((sum, { points }) => sum + points.length, 0);
  const ends = data.series.flatMap(({ points }) => points.slice(-1));
  const below = ends.filter(
    (point) => point.below === true || (data.finished !== undefined && point.value <= data.finished.value),
  ).length;
  const last = ends.map(({ value }) => value);
  const span =
    last.length === 0
      ? ''
      : ` Last read: ${[...new Set([Math.min(...last), Math.max(...last)].map((value) => figure(value)))].join(' to ')} ${data.unit}.`;
  const finished =
    data.finished === undefined ? '' : ` Level: ${data.finished.text}; reached by ${below} of ${ends.length}.`;
  return (
    `${counted(readings, 'reading')} of ${data.substance} of ${nameList(data.series.map(({ name }) => name))} ` +
    `from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}.${span}${finished}${countsOf(data.strips)}`
  );
}

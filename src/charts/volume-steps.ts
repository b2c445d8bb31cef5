/** The volume of a lot over time, as steps: it changes only when something is done. Estimates are dashed. */
import { area, curveStepAfter } from 'd3-shape';
import type { VolumePoint, VolumeSteps } from '../report/charted.ts';
import { dayOf, dayText, MINUTES_A_DAY } from '../report/dates.ts';
import { bottomAxis, dateTicks, leftAxis, leftRoom, linear, niceLinear, numberTicks, uprights } from './axis.ts';
import { DIGITS, drawing, element, type Frame, round } from './svg.ts';

const LEFT = 48;
const TOP = 24;
const FOOT = 26;

export function volumeSteps(data: VolumeSteps, frame: Frame): string {
  const height = frame.width > 500 ? 180 : 150;
  const right = frame.width - 10;
  const bottom = TOP + height;
  const first = data.points[0];
  const from = first?.minute ?? data.until;
  const last = data.points.at(-1);
  // A lot that is used up ends where it ended, with a little room after it.
  const used = last !== undefined && last.volume === 0;
  const told = used ? last.minute + (last.minute - from) / 20 : Math.max(data.until, last?.minute ?? data.until);
  const end = Math.max(told, from + MINUTES_A_DAY);
  const most = data.points.reduce((high, { volume }) => Math.max(high, volume), 0);
  const y = niceLinear(0, most === 0 ? 1 : most, [bottom, TOP], 5);
  const volumes = numberTicks(y, 5);
  const left = leftRoom(volumes, LEFT);
  const x = linear([from, end], [left, right]);
  const days = dateTicks(from, end, right - left);

  // The last level lasts until the day the record tells of.
  const points: VolumePoint[] = [...data.points];
  if (last !== undefined && !used) points.push({ ...last, minute: end });

  const filled =
    area<VolumePoint>()
      .x((point) => x(point.minute))
      .y0(bottom)
      .y1((point) => y(point.volume))
      .curve(curveStepAfter)
      .digits(DIGITS)(points) ?? '';
  return drawing(
    frame,
    bottom + FOOT,
    data.title,
    describe(data, from, end, most),
    uprights(x, days, TOP, bottom),
    leftAxis(y, volumes, left, right, data.unit),
    element('path', { class: 'fill', d: filled }),
    element('path', { class: 'step', d: outline(points, x, y, false) }),
    outline(points, x, y, true) === ''
      ? ''
      : element('path', { class: 'step estimated', d: outline(points, x, y, true) }),
    bottomAxis(x, days, left, right, bottom),
  );
}

/** The level lines of measured, or of estimated, volumes; rises and falls belong to the level they lead to. */
function outline(
  points: readonly VolumePoint[],
  x: (minute: number) => number,
  y: (volume: number) => number,
  estimated: boolean,
): string {
  let d = '';
  for (const [index, point] of points.entries()) {
    const next = points[index + 1];
    if (point.estimated === estimated) {
      const before = points[index - 1];
      const start = before === undefined ? y(0) : y(before.volume);
      d += `M${round(x(point.minute))},${round(start)}V${round(y(point.volume))}`;
      if (next !== undefined) d += `H${round(x(next.minute))}`;
    }
  }
  return d;
}

function describe(data: VolumeSteps, from: number, until: number, most: number): string {
  const last = data.points.at(-1);
  return (
    `${data.points.length} steps from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}; ` +
    `at most ${round(most)} ${data.unit}, at the end ${round(last?.volume ?? 0)} ${data.unit}.`
  );
}

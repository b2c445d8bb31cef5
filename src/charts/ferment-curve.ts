/** The course of a ferment: sugar by vessel, the temperature on a panel of its own, and what was done on strips beneath. */
import type { CurveSeries, FermentCurve } from '../report/charted.ts';
import { dayOf, dayText } from '../report/dates.ts';
import { middleOf } from '../report/median.ts';
import { nameList } from '../report/names.ts';
import { aheadUntil, boundary, expectedDry, forecastLines, sound, withForecasts } from './forecast.ts';
import { extentOf, isLine, lines, looksOf, timeOf } from './lines.ts';
import { countsOf, markStrip, STRIP } from './marks.ts';
import { dayAxis, dayLines, panelAxis, stack } from './panels.ts';
import { drawing, type Frame, isWide } from './svg.ts';

export function fermentCurve(data: FermentCurve, frame: Frame): string {
  const wide = isWide(frame);
  const forecasts = sound(data.forecast ?? []);
  const [from, read] = timeOf(
    [...data.sugar, ...data.temperature],
    data.strips.flatMap(({ marks }) => marks),
  );
  const until = aheadUntil(forecasts, from, read);
  const stacked = stack(
    [
      {
        unit: data.unit,
        extent: withForecasts(extentOf(data.sugar) ?? [0, 1], forecasts, until),
        height: wide ? 220 : 180,
        ticks: wide ? 6 : 5,
      },
      ...(data.temperature.length === 0
        ? []
        : [
            {
              unit: data.temperatureUnit,
              extent: extentOf(data.temperature) ?? ([0, 1] as const),
              height: wide ? 90 : 80,
              ticks: 4,
            },
          ]),
    ],
    [from, until],
    frame,
  );
  const { left, right, room, x, top, bottom } = stacked;
  const looks = looksOf([...data.sugar, ...data.temperature].filter(isLine));
  const parts = [dayLines(stacked)];
  for (const [index, panel] of stacked.panels.entries()) {
    parts.push(panelAxis(panel));
    if (index > 0) {
      parts.push(lines(data.temperature, looks, panel));
      continue;
    }
    const ahead = forecastLines(forecasts, data.sugar, looks, panel, until);
    parts.push(ahead.svg, lines(data.sugar, looks, panel, ahead.ends));
    if (until > read) parts.push(boundary(x(lastRead(data.sugar) ?? read), top, bottom, right));
  }
  parts.push(dayAxis(stacked));
  const dry = expectedDry(forecasts, looks, { x, until, top: stacked.foot, left, right, room });
  parts.push(dry.svg);
  let end = stacked.foot + dry.height;
  for (const strip of data.strips) {
    parts.push(markStrip(strip, x, end, left, right));
    end += STRIP;
  }
  return drawing(frame, end + 4, data.title, describe(data, from, read), ...parts);
}

function lastRead(series: readonly CurveSeries[]): number | undefined {
  const last = series.flatMap(({ points }) => points.slice(-1).map(({ minute }) => minute));
  return last.length === 0 ? undefined : Math.max(...last);
}

function describe(data: FermentCurve, from: number, until: number): string {
  const readings = data.sugar.reduce((sum, { points }) => sum + points.length, 0);
  const first = data.sugar.flatMap(({ points }) => points.slice(0, 1)).map(({ value }) => value);
  const last = data.sugar.flatMap(({ points }) => points.slice(-1)).map(({ value }) => value);
  const fell =
    first.length === 0
      ? ''
      : ` From about ${trim(middleOf(first.sort((a, b) => a - b)))} to about ${trim(middleOf(last.sort((a, b) => a - b)))} ${data.unit} in the middle.`;
  return (
    `${readings} readings of ${nameList(data.sugar.map(({ name }) => name))} ` +
    `from ${dayText(dayOf(from))} to ${dayText(dayOf(until))}.${fell}${countsOf(data.strips)}${expected(data)}`
  );
}

function trim(value: number): string {
  return String(Number(value.toFixed(3)));
}

/** Forecasts told in the description. */
const MOST_TOLD = 8;

function expected({ forecast = [] }: FermentCurve): string {
  const dry = forecast.flatMap(({ name, dry }) =>
    dry === undefined
      ? []
      : [`${name} about ${dayText(dayOf(dry.minute))} (${dayText(dayOf(dry.low))} to ${dayText(dayOf(dry.high))})`],
  );
  if (dry.length === 0) return '';
  const further = dry.length > MOST_TOLD ? `; and ${dry.length - MOST_TOLD} more` : '';
  return ` Expected dry: ${dry.slice(0, MOST_TOLD).join('; ')}${further}.`;
}

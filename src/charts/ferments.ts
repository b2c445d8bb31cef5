/**
 * Ferments beside each other, a small panel each, all on one scale of days since each began: the days lay the curves over
 * each other, whenever they were picked, so that a slow one is seen by its slope; dates stand in words on the panel.
 */
import type { FermentPanel, Ferments } from '../report/charted.ts';
import { MINUTES_A_DAY } from '../report/dates.ts';
import { middleOf } from '../report/median.ts';
import { counted } from '../report/names.ts';
import { linear, numberTicks, type Scale, type Tick } from './axis.ts';
import { cutOf } from './forecast.ts';
import { BOLD, broken, shorten, TICK_SIZE, widthOf } from './labels.ts';
import { extentOf, finite, linePath } from './lines.ts';
import { element, type Frame, hint, isWide, linked, linkedDrawing, round, text } from './svg.ts';

const HEAD = 48;
const PLOT = 80;
const FOOT = 18;
const ROW_GAP = 14;
const GAP = 16;

/** A curve by days since its start; days stand where minutes do elsewhere. */
interface Course {
  readonly panel: FermentPanel;
  readonly read: readonly { readonly minute: number; readonly value: number }[];
  readonly ahead: readonly { readonly minute: number; readonly value: number }[];
}

/** Panels beyond these are counted: the slowest come first, and a page stays light. */
const MOST_PANELS = 60;

export function ferments(data: Ferments, frame: Frame): string {
  const columns = isWide(frame) ? 4 : 2;
  const courses = data.panels.map(courseOf);
  const points = courses.flatMap(({ read, ahead }) => [...read, ...ahead]);
  const days = points.reduce((most, { minute }) => Math.max(most, minute), 1);
  const [low, high] = valuesOf(points, data.dryAt);

  const values = numberTicks(linear([low, high], [PLOT, 0]), 3);
  const left = Math.ceil(Math.max(...values.map(({ label }) => widthOf(label, TICK_SIZE)))) + 6;
  const width = (frame.width - left - (columns - 1) * GAP) / columns;
  const middle = courses.length < FEWEST ? [] : thinned(middleCourse(courses));
  const words = broken(headOf(data, middle.length > 0), frame.width, 2, TICK_SIZE);
  const start = words.length * 14 + 8;

  const rows: string[] = [];
  const drawn = courses.slice(0, MOST_PANELS);
  for (let first = 0; first < drawn.length; first += columns) {
    const top = start + (first / columns) * (HEAD + PLOT + FOOT + ROW_GAP);
    const y = linear([low, high], [top + HEAD + PLOT, top + HEAD]);
    const places = drawn.slice(first, first + columns).map((course, column): Place => {
      const x0 = left + column * (width + GAP);
      return { course, x: linear([0, days], [x0, x0 + width]), y, x0, top, width };
    });
    rows.push(axesOf(places, values, data.dryAt), ...places.map((place) => cell(place, middle, frame)));
  }
  const height = start + Math.max(1, Math.ceil(drawn.length / columns)) * (HEAD + PLOT + FOOT + ROW_GAP) - ROW_GAP;
  const more = courses.length - drawn.length;
  return linkedDrawing(
    frame,
    height + (more === 0 ? 4 : 22),
    data.title,
    describe(data),
    words.map((line, index) => text(line, { class: 'tick', x: 0, y: 12 + index * 14 })).join(''),
    ...rows,
    more === 0 ? '' : text(`and ${more} more`, { class: 'tick', x: left, y: height + 16 }),
  );
}

/** The span of all values and the level that counts as dry, never without extent. */
function valuesOf(points: Course['read'], dryAt: number | undefined): [number, number] {
  const span = extentOf([{ name: '', points }], ...(dryAt === undefined ? [] : [dryAt])) ?? [0, 1];
  const [low, high] = span;
  return high - low < 1e-9 ? [low - 0.5, high + 0.5] : [low, high];
}

function headOf({ unit, dryAt }: Ferments, middle: boolean): string {
  const dry = dryAt === undefined ? '' : '; dashed: dry';
  return `${unit} by days since the start of each; dotted: forecast${dry}${middle ? '; grey: the middle of all, read or forecast' : ''}`;
}

function courseOf(panel: FermentPanel): Course {
  const day = (minute: number): number => (minute - panel.start) / MINUTES_A_DAY;
  const points = finite(panel.points);
  const last = points.at(-1)?.minute ?? Number.NEGATIVE_INFINITY;
  const forecast = (panel.forecast ?? []).filter(({ minute, value }) => Number.isFinite(minute + value));
  const read = points.map(({ minute, value }) => ({ minute: day(minute), value }));
  const ahead = cutOf(forecast, last, Number.POSITIVE_INFINITY).map(({ minute, value }) => ({
    minute: day(minute),
    value,
  }));
  return { panel, read, ahead: thinned(ahead) };
}

/** Points of a smooth curve on a small panel. */
const ENOUGH = 12;

/** Of a smooth curve as many points as a small panel shows, the first and the last among them. */
function thinned<T>(points: readonly T[]): T[] {
  const step = Math.max(1, Math.ceil((points.length - 1) / ENOUGH));
  return points.filter((_, index) => index % step === 0 || index === points.length - 1);
}

/** Fewer than these have no middle worth drawing. */
const FEWEST = 3;

/** The middle of all, day by day while at least half of them have a value, read or forecast. */
function middleCourse(courses: readonly Course[]): { minute: number; value: number }[] {
  const whole = courses.map(({ read, ahead }) => [...read, ...ahead]);
  const last = Math.max(...whole.flatMap((course) => course.slice(-1).map(({ minute }) => minute)), 0);
  const middle: { minute: number; value: number }[] = [];
  for (let day = 0; day <= last; day += 1) {
    const values = whole.flatMap((course) => {
      const next = course.findIndex(({ minute }) => minute >= day);
      const [before, after] = [course[next - 1], course[next]];
      if (after === undefined) return [];
      if (after.minute === day) return [after.value];
      if (before === undefined) return [];
      return [before.value + ((day - before.minute) / (after.minute - before.minute)) * (after.value - before.value)];
    });
    if (values.length * 2 >= courses.length) {
      middle.push({ minute: day, value: middleOf(values.sort((a, b) => a - b)) });
    }
  }
  return middle;
}

/** A panel with its scales and its place. */
interface Place {
  readonly course: Course;
  readonly x: Scale;
  readonly y: Scale;
  readonly x0: number;
  readonly top: number;
  readonly width: number;
}

/** About so many days are named on a panel. */
const DAY_TICKS = 2;

/** What the panels of a row have in common: grid, days, the level that counts as dry; the first bears the figures. */
function axesOf(places: readonly Place[], values: readonly Tick[], dryAt: number | undefined): string {
  const across = (at: number): string =>
    places.map(({ x0, width }) => `M${round(x0)},${round(at)}H${round(x0 + width)}`).join('');
  const [first] = places;
  if (first === undefined) return '';
  const { y, top, x0 } = first;
  const bottom = top + HEAD + PLOT;
  const days = places.flatMap((place) =>
    numberTicks(place.x, DAY_TICKS).map(({ value, label }) => ({ at: place.x(value), label, place })),
  );
  const ticks = days.map(({ at }) => `M${round(at)},${round(bottom)}v4`).join('');
  return [
    element('path', { class: 'grid', d: values.map(({ value }) => across(y(value))).join('') }),
    ...values.map(({ value, label }) =>
      text(label, { class: 'tick', x: x0 - 5, y: y(value) + 4, 'text-anchor': 'end' }),
    ),
    element('path', { class: 'axis', d: across(bottom) + ticks }),
    ...days.map(({ at, label, place }) => {
      const anchor = at > place.x0 + place.width - 8 ? 'end' : at < place.x0 + 8 ? 'start' : 'middle';
      return text(label, { class: 'tick', x: at, y: bottom + 16, 'text-anchor': anchor });
    }),
    dryAt === undefined ? '' : element('path', { class: 'target', d: across(y(dryAt)) }),
  ].join('');
}

function cell(at: Place, middle: Course['read'], frame: Frame): string {
  const { course, x, y, x0, top, width } = at;
  const { panel, read, ahead } = course;
  const end = read.at(-1);
  const name = shorten(panel.name, width / BOLD);
  const said = [panel.last, ...(panel.dry === undefined ? [] : [panel.dry])];
  const shown = said.map((words) => shorten(words, width, TICK_SIZE));
  const whole = name === panel.name && shown.every((words, index) => words === said[index]);
  return element(
    'g',
    {},
    whole ? '' : hint([panel.name, ...said].join('; ')),
    linked(panel.href, frame, text(name, { class: 'who', x: x0, y: top + 12 })),
    ...shown.map((words, index) => text(words, { class: 'words', x: x0, y: top + 26 + index * 14 })),
    middle.length > 1 ? element('path', { class: 'thin', d: linePath(middle, at) }) : '',
    ahead.length > 1
      ? element('g', { class: 'forecast s1' }, element('path', { class: 'ahead', d: linePath(ahead, at) }))
      : '',
    element(
      'g',
      { class: 'line s1' },
      read.length > 1 ? element('path', { d: linePath(read, at) }) : '',
      end === undefined ? '' : element('circle', { cx: x(end.minute), cy: y(end.value), r: 2.6 }),
    ),
  );
}

/** Ferments told in the description. */
const MOST_TOLD = 12;

function describe({ panels }: Ferments): string {
  const told = panels
    .slice(0, MOST_TOLD)
    .map(({ name, last, dry }) => `${name}: ${last}${dry === undefined ? '' : `, ${dry}`}`);
  const further = panels.length > MOST_TOLD ? `; and ${panels.length - MOST_TOLD} more` : '';
  return `${counted(panels.length, 'ferment')}${told.length === 0 ? '' : `: ${told.join('; ')}${further}`}.`;
}

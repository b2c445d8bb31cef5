/** The years of one barrel: which lots lay in it, when it was empty, topped, and its sulfur dioxide read; and the same in a table's cell. */
import type { BarrelStay, BarrelStrip, Tint } from '../report/charted.ts';
import { dayOf, dayText, MINUTES_A_DAY } from '../report/dates.ts';
import { counted } from '../report/names.ts';
import { bottomAxis, dateTicks, linear, type Scale, uprights } from './axis.ts';
import { shorten, TICK_SIZE, widthOf } from './labels.ts';
import { markStrip, STRIP } from './marks.ts';
import { element, type Frame, hint, linked, linkedDrawing, text } from './svg.ts';

const LEFT = 1;
const BAR = 26;
const FOOT = 26;
const LINE = 15;
const MOST_LINES = 3;
/** A name of fewer pixels would say nothing. */
const LEAST_NAME = 26;

const TINTS: Readonly<Record<Tint, string>> = { red: 'red', white: 'white', rosé: 'rose', plain: 'plain' };

export function barrelStrip(data: BarrelStrip, frame: Frame): string {
  const right = frame.width - 1;
  const [from, until] = timeOf(data);
  const x = linear([from, until], [LEFT, right]);
  const days = dateTicks(from, until, right - LEFT);
  const names = namesOf(data.stays, x, right);
  const lines = Math.max(1, ...names.map(({ line }) => line + 1));
  const top = 2 + lines * LINE;
  const bottom = top + BAR;
  const parts = [
    ...names.map(({ stay, words, line }) => {
      const y = top - 5 - line * LINE;
      const at = x(stay.from);
      return (
        (line === 0 ? '' : element('line', { class: 'leader', x1: at + 0.5, x2: at + 0.5, y1: y + 3, y2: top })) +
        linked(stay.href, frame, text(words, { class: 'stay', x: at, y }))
      );
    }),
    bar(data, x, top, BAR),
    gapsOf(data.stays, from, until)
      .filter((gap) => x(gap.until) - x(gap.from) > widthOf('empty', TICK_SIZE) + 8)
      .map((gap) =>
        text('empty', { class: 'tick', x: (x(gap.from) + x(gap.until)) / 2, y: top + 17, 'text-anchor': 'middle' }),
      )
      .join(''),
  ];
  let end = bottom + 4;
  const strips = [
    { name: 'Topped', shape: 'stroke' as const, marks: data.topped },
    { name: 'SO₂ read', shape: 'circle' as const, marks: data.sulfur },
  ].filter(({ marks }) => marks.length > 0);
  for (const strip of strips) {
    parts.push(markStrip(strip, x, end, LEFT, right));
    end += STRIP;
  }
  parts.unshift(uprights(x, days, top, end));
  parts.push(bottomAxis(x, days, LEFT, right, end));
  return linkedDrawing(frame, end + FOOT, data.title, describe(data), ...parts);
}

const CELL_WIDTH = 140;
const CELL_HEIGHT = 20;

/** Named by its title; words stand beside it in the table. */
export function barrelCell(data: BarrelStrip): string {
  const x = linear(timeOf(data), [0.5, CELL_WIDTH - 0.5]);
  // Marks of one pixel are one mark.
  const ticks = (marks: BarrelStrip['topped']): number[] => [
    ...new Set(marks.map(({ minute }) => Math.round(x(minute)))),
  ];
  return element(
    'svg',
    {
      class: 'barrel-cell',
      role: 'img',
      viewBox: `0 0 ${CELL_WIDTH} ${CELL_HEIGHT}`,
      width: CELL_WIDTH,
      height: CELL_HEIGHT,
    },
    hint(`${data.title}. ${describe(data)}`),
    bar(data, x, 5, 10),
    ...ticks(data.topped).map((at) => element('line', { class: 'topped', x1: at, x2: at, y1: 16, y2: 20 })),
    ...ticks(data.sulfur).map((at) => element('circle', { class: 'sulfur', cx: at, cy: 2, r: 1.5 })),
  );
}

function timeOf({ from, until }: BarrelStrip): [number, number] {
  return [from, Math.max(until, from + MINUTES_A_DAY)];
}

/** The barrel's time: filled where a lot lay in it, an open room where it was empty. */
function bar(data: BarrelStrip, x: Scale, top: number, height: number): string {
  const [from, until] = timeOf(data);
  const place = (part: { readonly from: number; readonly until: number }, least: number) => {
    const left = Math.max(x(from), x(part.from));
    return { x: left, y: top, width: Math.max(least, Math.min(x(until), x(part.until)) - left), height };
  };
  const empty = gapsOf(data.stays, from, until).map((gap) =>
    element('rect', { class: 'barrel', ...place(gap, 0.7) }, hint('empty')),
  );
  const stays = data.stays.map((stay, index) => {
    const at = place(stay, 0.7);
    const follows = index > 0 && stay.from - (data.stays[index - 1]?.until ?? 0) < MINUTES_A_DAY;
    return (
      element('rect', { class: `lay ${TINTS[stay.tint]}`, ...at }, hint(stayText(stay))) +
      (follows ? element('line', { class: 'seam', x1: at.x, x2: at.x, y1: top, y2: top + height }) : '')
    );
  });
  return empty.join('') + stays.join('');
}

function stayText({ name, from, until }: BarrelStay): string {
  const days = Math.max(1, Math.round((until - from) / MINUTES_A_DAY));
  return `${name}: ${dayText(dayOf(from))} to ${dayText(dayOf(until))}, ${counted(days, 'day')}`;
}

interface StayName {
  readonly stay: BarrelStay;
  readonly words: string;
  /** Lines above the bar, from the nearest. */
  readonly line: number;
}

/** Names over their stays, on the lowest line that is free there, left out where none is; the latest are placed first. */
function namesOf(stays: readonly BarrelStay[], x: Scale, right: number): StayName[] {
  const free = new Array<number>(MOST_LINES).fill(right);
  const named: StayName[] = [];
  for (const stay of [...stays].reverse()) {
    const at = x(stay.from);
    const wanted = widthOf(stay.name);
    let line = free.findIndex((end) => at + wanted <= end);
    // Where the whole name has no room anywhere, a shortened one takes the widest place.
    if (line < 0) line = free.indexOf(Math.max(...free));
    const room = (free[line] ?? 0) - at;
    if (room < Math.min(LEAST_NAME, wanted)) continue;
    named.push({ stay, words: shorten(stay.name, room), line });
    // Lines below one that is used stay clear of its leader.
    for (let index = 0; index <= line; index += 1) free[index] = Math.min(free[index] ?? 0, at - 8);
  }
  return named.reverse();
}

/** The times between, before and after the stays. */
function gapsOf(
  stays: readonly BarrelStay[],
  from: number,
  until: number,
): { readonly from: number; readonly until: number }[] {
  const gaps: { from: number; until: number }[] = [];
  let at = from;
  for (const stay of stays) {
    if (stay.from > at) gaps.push({ from: at, until: stay.from });
    at = Math.max(at, stay.until);
  }
  if (at < until) gaps.push({ from: at, until });
  return gaps;
}

/** Stays told in the description. */
const MOST_TOLD = 8;

function describe(data: BarrelStrip): string {
  const [from, until] = timeOf(data);
  const told = data.stays.slice(-MOST_TOLD).map(stayText);
  const earlier = data.stays.length > MOST_TOLD ? `${data.stays.length - MOST_TOLD} earlier; ` : '';
  const empty = gapsOf(data.stays, from, until).reduce((sum, gap) => sum + gap.until - gap.from, 0);
  return (
    `${told.length === 0 ? 'Nothing lay in it' : earlier + told.join('; ')}; ` +
    `empty for ${counted(Math.round(empty / MINUTES_A_DAY), 'day')} in all, ` +
    `topped ${counted(data.topped.length, 'time')}, sulfur dioxide read ${counted(data.sulfur.length, 'time')}.`
  );
}

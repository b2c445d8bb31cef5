/** Work due as a calendar that phones and desks can subscribe to: iCalendar, RFC 5545, one event a day's work on a lot. */
import { formatDate } from '../../grammar/dates.ts';
import type { DayNumber, LotId, Place, VesselId } from '../journal/events.ts';
import type { DueItem } from './due-work.ts';
import { type DueGroup, groupsOf } from './groups.ts';
import { periodOf } from './periods.ts';

/** Names for what items tell of by number. */
export interface CalendarNames {
  /** What the calendar is called. */
  readonly title: string;
  readonly lot: (lot: LotId) => string;
  /** Several vessels as one text. */
  readonly vessels: (vessels: readonly VesselId[]) => string;
  /** `cellar.cellar:63` */
  readonly place: (place: Place) => string;
}

/** RFC 5545, 3.1: a line has at most 75 octets, its break aside. */
const LONGEST_LINE = 75;

/**
 * The calendar of work due as of a day. An event lies all day on the day it is due, what is overdue on the day itself,
 * and keeps its UID from day to day while it is the same work; there is no clock in it, so equal work gives equal bytes.
 */
export function calendarOf(items: readonly DueItem[], on: DayNumber, names: CalendarNames): string {
  const seen = new Map<string, number>();
  const events = groupsOf(items).flatMap((group) => eventOf(group, on, names, seen));
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Ullage//Work due//EN',
    'CALSCALE:GREGORIAN',
    'METHOD:PUBLISH',
    `X-WR-CALNAME:${escaped(names.title)}`,
    ...events,
    'END:VCALENDAR',
  ];
  return `${lines.map(folded).join('\r\n')}\r\n`;
}

function eventOf(
  { item, vessels }: DueGroup,
  on: DayNumber,
  names: CalendarNames,
  seen: Map<string, number>,
): readonly string[] {
  const day = Math.max(item.due, on);
  const left = item.left !== undefined && item.left > 1 ? `, ${item.left} times` : '';
  const late = item.due < on ? `overdue since ${formatDate(item.due)}: ` : '';
  const where = names.vessels(vessels);
  const hands = item.row.by.length === 0 ? '' : `\nby ${item.row.by.join(', ')}`;
  return [
    'BEGIN:VEVENT',
    `UID:${uidOf(item, names.lot(item.lot), seen)}`,
    `DTSTAMP:${basic(on)}T000000Z`,
    `DTSTART;VALUE=DATE:${basic(day)}`,
    `DTEND;VALUE=DATE:${basic(day + 1)}`,
    `SUMMARY:${escaped(`${late}${item.what}${left}: ${names.lot(item.lot)} in ${where}`)}`,
    `DESCRIPTION:${escaped(`${item.row.said}\n${item.plan.name}, ${names.place(item.row.place)}${hands}`)}`,
    `LOCATION:${escaped(where)}`,
    'TRANSP:TRANSPARENT',
    'END:VEVENT',
  ];
}

/** `20260914` */
const basic = (day: DayNumber): string => formatDate(day).replaceAll('-', '');

/**
 * What makes a piece of work the same from day to day: its plan, its line's words, the lot and the day it is due, or the
 * first of the week or month it is counted by; of two that agree in all this, the second is numbered.
 */
function uidOf(item: DueItem, lot: string, seen: Map<string, number>): string {
  const { rhythm } = item.row;
  const day = formatDate(rhythm.kind === 'count' ? periodOf(item.due, rhythm.period).first : item.due);
  const same = [item.plan.name, item.row.said, item.what, lot, day].join('\n');
  const before = seen.get(same) ?? 0;
  seen.set(same, before + 1);
  return `${day}-${fingerprint(`${same}\n${before}`)}@ullage.invalid`;
}

/** Sixteen hexadecimal digits of a text: the FNV-1a hash of its UTF-16 code units in 64 bits. */
function fingerprint(text: string): string {
  let hash = 0xcbf29ce484222325n;
  for (let i = 0; i < text.length; i++) hash = BigInt.asUintN(64, (hash ^ BigInt(text.charCodeAt(i))) * 0x100000001b3n);
  return hash.toString(16).padStart(16, '0');
}

/** RFC 5545, 3.3.11: backslash, semicolon and comma get a backslash, a line break is `\n`; controls have no place in a text. */
function escaped(text: string): string {
  return (
    text
      .replace(/[\\;,]/g, '\\$&')
      .replace(/\r?\n/g, '\\n')
      // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not stand in a text
      .replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, ' ')
  );
}

const octets = (c: string): number => {
  const code = c.codePointAt(0) ?? 0;
  return code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
};

/** RFC 5545, 3.1: a long line goes on in the next after one blank; a character is never cut. */
function folded(line: string): string {
  let out = '';
  let width = 0;
  for (const c of line) {
    if (width + octets(c) > LONGEST_LINE) {
      out += '\r\n ';
      width = 1;
    }
    out += c;
    width += octets(c);
  }
  return out;
}

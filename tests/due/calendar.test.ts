/** The calendar of work due, held to RFC 5545 by a parser of another make, and to its lengths and line breaks by hand. */
import ICAL from 'ical.js';
import { describe, expect, test } from 'vitest';
import { parseDate } from '../../grammar/dates.ts';
import { calendarOf } from '../../src/due/calendar.ts';
import { dueWork } from '../../src/due/due-work.ts';
import { namesOf } from '../../src/report/due-list.ts';
import { bookOf, CELLAR, WINE } from './journal.ts';

const NAME = 'Grüner Veltliner, Fässer; "alt" — Hanglage über dem Fluß, zweite Lese, dritter Durchgang';

const TEXT = `cellar "Quern, Hollow; & Söhne"
${CELLAR}
plan barrel-age for wine in barrel
  due top every 21 days by bo, ana
  due stir 2 a week
  due reading pH once when malic under 0.3 g/L
plan tank-age for T1
  due taste every 10 days
${WINE}09:00 reading GR malic 0.1 g/L
10:00 found K1 50 L as "${NAME.replaceAll('"', "'")}" of ledge-2, vintage 2025
11:00 put K1 under barrel-age
`;

function calendar(on: string, days = 30, text = TEXT): string {
  const book = bookOf(text);
  return calendarOf(dueWork(book, parseDate(on), days), parseDate(on), namesOf(book));
}

/** The events of a calendar as the parser has them. */
function events(ics: string) {
  const component = new ICAL.Component(ICAL.parse(ics) as unknown[] as ConstructorParameters<typeof ICAL.Component>[0]);
  return component.getAllSubcomponents('vevent').map((vevent) => {
    const event = new ICAL.Event(vevent);
    return {
      uid: event.uid,
      summary: event.summary,
      description: event.description,
      location: event.location,
      start: event.startDate.toString(),
      end: event.endDate.toString(),
      allDay: event.startDate.isDate,
      stamp: vevent.getFirstPropertyValue('dtstamp')?.toString(),
    };
  });
}

describe('read by a parser', () => {
  const found = events(calendar('2026-11-23'));

  test('every work of a lot on a day is an event, all day', () => {
    expect(found.map(({ start, end, allDay, summary }) => `${start} ${end} ${allDay} ${summary}`)).toEqual([
      '2026-11-23 2026-11-24 true overdue since 2026-11-02: reading pH: GR in FB-01, FB-02',
      '2026-11-23 2026-11-24 true overdue since 2026-11-12: taste: GR in T1',
      '2026-11-23 2026-11-24 true top: GR in FB-01, FB-02',
      `2026-11-23 2026-11-24 true top: ${NAME.replaceAll('"', "'")} in K1`,
      '2026-11-28 2026-11-29 true stir, 2 times: GR in FB-01, FB-02',
      `2026-11-28 2026-11-29 true stir, 2 times: ${NAME.replaceAll('"', "'")} in K1`,
    ]);
  });

  test('it says which line of which plan asks, and whose work it is', () => {
    expect(found[2]?.description).toBe('due top every 21 days\nbarrel-age, journal.cellar:16\nby bo, ana');
    expect(found[2]?.location).toBe('FB-01, FB-02');
  });

  test('commas, semicolons and umlauts of the journal come through', () => {
    const [, properties] = ICAL.parse(calendar('2026-11-23')) as [string, [string, unknown, string, string][]];
    // the parser leaves the text of an X- property as it stands
    const name = properties.find(([one]) => one === 'x-wr-calname')?.[3];
    expect(name?.replace(/\\([\\;,])/g, '$1')).toBe('Quern, Hollow; & Söhne: work due');
  });

  test('it has no clock: the stamp is the day asked for', () => {
    expect(new Set(found.map(({ stamp }) => stamp))).toEqual(new Set(['2026-11-23T00:00:00Z']));
  });

  test('nothing due is a calendar without events', () => {
    expect(events(calendar('2026-11-23', 30, `${CELLAR}${WINE}`))).toEqual([]);
  });
});

describe('UIDs', () => {
  test('are each their own', () => {
    const uids = events(calendar('2026-11-23')).map(({ uid }) => uid);
    expect(new Set(uids).size).toBe(uids.length);
    for (const uid of uids) expect(uid).toMatch(/^\d{4}-\d\d-\d\d-[0-9a-f]{16}@ullage\.invalid$/);
  });

  test('stay while it is the same work, from day to day and when it is overdue', () => {
    const top = (on: string) => events(calendar(on)).find(({ summary }) => summary.includes('top: GR'))?.uid;
    expect(top('2026-11-16')).toBe(top('2026-11-23'));
    expect(top('2026-11-25')).toBe(top('2026-11-23'));
    expect(top('2026-11-23')?.slice(0, 10)).toBe('2026-11-23');
  });

  test('stay when another line is written above, and change with the next time round', () => {
    const uid = (text: string, on = '2026-11-23') =>
      events(calendar(on, 30, text)).find(({ summary }) => summary.includes('top: GR'))?.uid;
    expect(uid(TEXT.replace('plan barrel-age', '# a comment\nplan barrel-age'))).toBe(uid(TEXT));
    expect(uid(`${TEXT}\n2026-11-23 Mon\n10:00 top FB-01..FB-02 from T1 3 L\n`)).not.toBe(uid(TEXT));
  });
});

describe('lines', () => {
  const ics = calendar('2026-11-23');

  test('end in a carriage return and a line feed, all of them, and nothing else does', () => {
    expect(ics.endsWith('END:VCALENDAR\r\n')).toBe(true);
    expect(ics.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  });

  test('have at most 75 octets, and no character is cut', () => {
    const lines = ics.split('\r\n');
    expect(lines.some((line) => line.startsWith(' '))).toBe(true);
    for (const line of lines) {
      expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
      expect(line).not.toContain('\ufffd');
      expect(Buffer.from(line).toString()).toBe(line);
    }
  });

  test('what stands in a text cannot end it: line breaks, backslashes and controls', () => {
    const book = bookOf(TEXT);
    const names = { ...namesOf(book), lot: () => 'a\r\nEND:VCALENDAR\\;,\u0007b' };
    const read = events(calendarOf(dueWork(book, parseDate('2026-11-23'), 0), parseDate('2026-11-23'), names));
    expect(read[0]?.summary).toBe('overdue since 2026-11-02: reading pH: a\nEND:VCALENDAR\\;, b in FB-01, FB-02');
  });
});

test('work that is counted by the week keeps its UID through the week, and has another in the next', () => {
  const text = `${CELLAR}plan p for wine\n  due stir 2 a week\n${WINE}`;
  const uids = (on: string): string[] => events(calendar(on, 0, text)).map(({ uid }) => uid);
  // Monday 2 November 2026 has the wine at eight: the first whole week begins on the ninth
  const [saturday, sunday, next] = [uids('2026-11-14'), uids('2026-11-15'), uids('2026-11-21')];
  expect(saturday).toHaveLength(1);
  expect(sunday).toEqual(saturday);
  expect(next).toHaveLength(1);
  expect(next).not.toEqual(saturday);
});

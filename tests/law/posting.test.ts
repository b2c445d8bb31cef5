/** By which day work has to stand in the record: business days counted on, at both sides of each weekend. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseDate, weekday } from '../../grammar/dates.ts';
import type { Event } from '../../src/journal/events.ts';
import { EU } from '../../src/law/eu.ts';
import { businessDayAfter, lastDayToPost } from '../../src/law/posting.ts';
import { US } from '../../src/law/us.ts';

const after = (day: string, days: number): string => {
  const last = businessDayAfter(parseDate(day), days);
  return `${weekday(last)} ${new Date(last * 86_400_000).toISOString().slice(0, 10)}`;
};

// 27 CFR 24.300(b) with 24.10, edition of 2015: Saturdays and Sundays are no business days; holidays are not known here
test.each([
  ['2026-01-05', 'Thu 2026-01-08'],
  ['2026-01-06', 'Fri 2026-01-09'],
  ['2026-01-07', 'Mon 2026-01-12'],
  ['2026-01-09', 'Wed 2026-01-14'],
  ['2026-01-10', 'Wed 2026-01-14'],
  ['2026-01-11', 'Wed 2026-01-14'],
])('the third business day after %s is %s', (day, last) => {
  expect(after(day, 3)).toBe(last);
});

test('a business day after is a weekday, and no nearer than so many days', () => {
  fc.assert(
    fc.property(fc.integer({ min: -40_000, max: 80_000 }), fc.integer({ min: 1, max: 30 }), (day, days) => {
      const last = businessDayAfter(day, days);
      expect(['Sat', 'Sun']).not.toContain(weekday(last));
      expect(last - day).toBeGreaterThanOrEqual(days);
      expect(last - day).toBeLessThanOrEqual(days + 2 * (Math.floor(days / 5) + 1));
    }),
  );
});

const event = (fields: Partial<Event>): Event =>
  ({
    verb: 'note',
    minute: parseDate('2026-01-09') * 1440 + 600,
    place: { file: 0, line: 1 },
    hands: [],
    sic: false,
    ...fields,
  }) as Event;

test('what came, what left and what was done have days of their own; what was read or tasted has none', () => {
  const day = (law: typeof US, fields: Partial<Event>): number | undefined =>
    law.posting === undefined ? undefined : lastDayToPost(law.posting, event(fields));
  const monday = parseDate('2026-01-12');
  const wednesday = parseDate('2026-01-14');
  expect(day(US, { kind: 'buy' })).toBe(wednesday);
  expect(day(US, { kind: 'dip' })).toBe(wednesday);
  // Implementing Regulation (EU) 2018/274, articles 18 and 19, from memory
  expect(day(EU, { kind: 'buy' })).toBe(monday);
  expect(day(EU, { kind: 'dip' })).toBe(monday);
  expect(day(EU, { kind: 'leave', how: 'dispatch' })).toBe(wednesday);
  expect(day(EU, { kind: 'leave', how: 'loss' })).toBe(monday);
  for (const kind of ['reading', 'cap', 'work', 'kept', 'day', 'naming'] as const)
    expect(day(US, { kind })).toBeUndefined();
});

test('work that goes on past midnight counts from the day it ended', () => {
  if (US.posting === undefined) throw new Error('no rule');
  const ended = event({ kind: 'move', until: parseDate('2026-01-12') * 1440 + 30 });
  expect(lastDayToPost(US.posting, ended)).toBe(parseDate('2026-01-15'));
});

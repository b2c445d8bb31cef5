/** Work on the cap, counted by day and vessel. */
import { expect, test } from 'vitest';
import { capWorkOf, capWorkOn } from '../../src/report/cap-work.ts';
import { contextOf, happeningsOf } from '../../src/report/context.ts';
import { fixtureBook } from './fixture.ts';
import { contextFor, fermentingText, present } from './small-cellar.ts';

const modelOf = (text: string, lot = 0) => {
  const context = contextFor(text);
  const record = present(context.book.lots[lot]);
  return present(capWorkOf(context, record, happeningsOf(context, record.happenings)));
};

test('is told a day a row and a column for vessels that were treated alike, with its sums', () => {
  const model = modelOf(fermentingText());
  // Nine days of two rounds; B1 once more, B2 once over.
  expect(model.lead).toBe('Punch-downs: 18 to 19 a vessel. Pump-overs: 1 (20 min) a vessel.');
  const [down, over] = model.tables;
  expect(down?.columns).toEqual(['B1', 'B2, B3']);
  expect(down?.rows.length).toBe(9);
  expect(down?.rows.find(({ iso }) => iso === '2026-09-23')).toMatchObject({ cells: ['3', '2'], all: '7' });
  expect([down?.totals, down?.total]).toEqual([['19', '18'], '55']);
  expect(over?.columns).toEqual(['B2']);
  expect([over?.rows[0]?.cells, over?.total]).toEqual([['1 (20 min)'], '1 (20 min)']);
  expect(down?.rows[0]?.line.href).toMatch(/^journal\/2026\.html#L\d+$/u);
});

test('counts for the lot that lay in the vessel then, though a line names vessels of two', () => {
  const text = `${fermentingText().split('\n2026-09-16')[0]}
2026-09-15
08:00 receive GB from ledge-5, net 500 kg
09:00 crush GB to B4 430 L, destemmed, stems 20 kg
10:00 punch-down B1..B4
`;
  expect(modelOf(text).tables[0]?.totals).toEqual(['1']);
  expect(modelOf(text).tables[0]?.columns).toEqual(['B1..B3']);
  expect(modelOf(text, 1).tables[0]).toMatchObject({ columns: ['B4'], totals: ['1'] });
});

test('a day without any is told as none', () => {
  const context = contextFor(fermentingText());
  const { happenings } = context.book;
  expect(capWorkOn(happenings, 0, Date.UTC(2026, 8, 15) / 86_400_000)).toBe('none');
  expect(capWorkOn(happenings, 3, Date.UTC(2026, 8, 23) / 86_400_000)).toBe('none');
});

test('of very many bins treated each in its way the fewest and the most are told', () => {
  const book = fixtureBook({ bins: 40 });
  const uneven = book.happenings.map((happening) =>
    happening.event.kind === 'cap'
      ? { ...happening, vessels: happening.vessels.slice(0, 1 + (happening.event.minute % 37)) }
      : happening,
  );
  const context = contextOf({ ...book, happenings: uneven });
  const record = present(book.lots[0]);
  const table = present(capWorkOf(context, record, happeningsOf(context, record.happenings))).tables[0];
  expect(table?.columns).toEqual(['fewest', 'most']);
  expect(table?.rows[0]?.cells[0]).toBe('0');
});

test('wine nobody ever worked has no such part', () => {
  const context = contextFor(fermentingText().replaceAll(/^.*(?:punch-down|pump-over).*$/gmu, ''));
  const record = present(context.book.lots[0]);
  expect(capWorkOf(context, record, happeningsOf(context, record.happenings))).toBeUndefined();
});

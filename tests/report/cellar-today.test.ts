/** The cellar today: what calls for attention comes first, and every vessel is found at once. */
import { describe, expect, test } from 'vitest';
import { alertsOf } from '../../src/report/alerts.ts';
import { cellarModel } from '../../src/report/cellar-today.ts';
import { contextFor, fermentingText, finishedText, present } from './small-cellar.ts';

const words = (row: { readonly words: readonly { readonly text: string }[] } | undefined): string =>
  (row?.words ?? []).map(({ text }) => text).join('');

describe('what calls for attention', () => {
  test('a ferment that stands still is told once, with its newest line', () => {
    const alerts = alertsOf(contextFor(fermentingText()));
    expect(alerts.map(({ title, grave }) => [title, grave])).toEqual([['Ferments to look at', true]]);
    expect(alerts[0]?.rows[0]?.about.map(({ text }) => text)).toEqual(['B3', 'LS']);
    expect(words(alerts[0]?.rows[0])).toMatch(/^Stuck: stands at 12\.1 °Bx/u);
    expect(alerts[0]?.rows[0]?.line?.href).toBe('journal/2026.html#L84');
  });

  test('a ferment nobody read for two days is told too', () => {
    const [alert] = alertsOf(contextFor(`${fermentingText()}\n2026-09-26\n09:00 note B1 -- quiet\n`));
    expect(alert?.rows.map((row) => row.about[0]?.text)).toEqual(['B3', 'B2', 'B1']);
    expect(words(alert?.rows[2])).toContain('Not read for 50 hours');
  });

  test('a wine below the usual molecular sulfur dioxide is told with what the figure rests on', () => {
    const alert = present(
      alertsOf(contextFor(finishedText(), '2026-12-01')).find(({ title }) => title === 'Short of sulfur dioxide'),
    );
    // 28 mg/L free at pH 3.60: 28 / (1 + 10^1.79) by the plain constant 1.81.
    expect((28 / (1 + 10 ** (3.6 - 1.81))).toFixed(2)).toBe('0.45');
    expect(alert.rows.map(words)).toEqual(['0.45 mg/L molecular; free 28 mg/L on 20 Nov 2026, pH 3.6 (10 Nov).']);
    expect(alert.note).toContain('pKa 1.81');
  });

  test('while malic acid still falls a wine is left without sulfur dioxide on purpose', () => {
    const text = finishedText().replace('LS-free malic 0.1 g/L', 'LS-free malic 1.4 g/L');
    expect(alertsOf(contextFor(text, '2026-12-01')).map(({ title }) => title)).not.toContain('Short of sulfur dioxide');
  });

  test('sulfur dioxide added since the reading is said', () => {
    const text = `${finishedText().split('\n2027-06-01')[0]}\n2026-11-21\n09:00 add kms 20 mg/L SO2 to LS-free\n`;
    const alert = alertsOf(contextFor(text)).find(({ title }) => title === 'Short of sulfur dioxide');
    expect(words(alert?.rows[0])).toContain('Some was added on 21 Nov: read it again.');
  });

  test('an error stays until it is mended; an old warning is only counted, and stands last', () => {
    const text = `${fermentingText()}\n2026-10-30\n09:00 note T1 -- swept\n`;
    const old = alertsOf(contextFor(text.replace('07:10 receive LS', '07:05 recieve LS net 1 kg\n07:10 receive LS')));
    expect(old.find(({ title }) => title === 'In the journal')).toMatchObject({ grave: true });
    const warned = alertsOf(contextFor(text.replace('stems 50 kg', 'stems 400 kg')));
    expect(warned.at(-1)).toMatchObject({
      title: 'In the journal',
      rows: [],
      further: { href: 'findings.html' },
    });
  });

  test('vessels that an unread line may have touched are named', () => {
    const text = fermentingText().replace('08:40 add kms', '08:35 transfer B1 to T2 lots of it\n08:40 add kms');
    const doubt = alertsOf(contextFor(text)).find(({ title }) => title === 'Vessels in doubt');
    expect(doubt?.rows[0]?.about.map(({ text }) => text)).toContain('B1');
  });

  test('wine that does not fill its vessel is named with how full it is, the emptiest first', () => {
    const alert = alertsOf(contextFor(finishedText(), '2026-10-02')).find(
      ({ title }) => title === 'Wine with air over it',
    );
    // LS-p1: 150 L in a tank of 1200.
    expect(alert?.rows[0]?.about.map(({ text }) => text)).toEqual(['T2\u00A013\u00A0%']);
  });
});

describe('the page', () => {
  const model = cellarModel(contextFor(fermentingText()));

  test('tells a lot that ferments in one row', () => {
    expect(model.fermenting).toMatchObject([
      {
        lot: { text: 'LS', href: 'lots/ls.html' },
        vessels: 'B1..B3',
        sugar: { text: '2.0 to 12.1\u00A0°Bx', href: 'journal/2026.html#L82' },
        today: '2 punch-downs',
      },
    ]);
    expect(model.fermenting[0]?.dry).toMatch(/^25 Sep to \d+ Oct; 1 without a day yet$/u);
  });

  test('has a mark for every vessel, which leads to where it is told, or to its page where it is empty', () => {
    expect(model.plan.map(({ title, marks }) => [title, marks.length])).toEqual([
      ['Bins, crush pad', 4],
      ['Tanks, tank room', 4],
      ['Barrels, barrel room', 4],
      ['Kegs', 4],
    ]);
    expect(model.plan[0]?.marks.slice(2)).toEqual([
      { name: 'B3', href: '#v-b3', tint: 'red', fermenting: true },
      { name: 'B4', href: 'vessels/b4.html', tint: 'empty', fermenting: false },
    ]);
    expect(model.groups[0]?.cards.map(({ id }) => id)).toEqual(['v-b1', 'v-b2', 'v-b3']);
  });

  test('a card of a bin tells how it goes, when it is dry and what was done to its cap', () => {
    expect(model.groups[0]?.cards.map(({ ferment }) => [ferment?.state, ferment?.yesterday, ferment?.today])).toEqual([
      ['', '3 punch-downs', '2 punch-downs'],
      ['', '2 punch-downs, 1 pump-over (20 min)', '2 punch-downs'],
      ['stuck', '2 punch-downs', '2 punch-downs'],
    ]);
    expect(model.groups[0]?.cards[0]?.ferment?.dry).toBe('dry about 25 Sep');
  });

  test('groups that hold nothing are told together at the end', () => {
    expect(model.groups.map(({ title }) => title)).toEqual(['Bins, crush pad']);
    expect(model.empty.map(({ title, vessels }) => `${title}: ${vessels.text}`)).toEqual([
      'Tanks, tank room: T1..T4',
      'Barrels, barrel room: FB-01..FB-04',
      'Kegs: K1..K4',
    ]);
  });

  test('vessels of one place stand together, whatever stands between them in the journal', () => {
    const text = `vessel T1 tank 500 L, at "north"\nvessel B1 bin 500 L, at "south"\nvessel T2 tank 500 L, at "north"\n`;
    expect(cellarModel(contextFor(`${text}\n2026-09-01\n09:00 note T1 -- x\n`)).plan.map(({ title }) => title)).toEqual(
      ['Tanks, north', 'Bins, south'],
    );
  });
});

/** The page of a year's losses: as many decimals as tell figures apart, and wine that went over to another class. */
import { describe, expect, test } from 'vitest';
import { periodVolumes, toldUnits } from '../../src/report/period-volumes.ts';
import { periodsOf } from '../../src/report/periods.ts';
import { wineFlows } from '../../src/report/wine-flows.ts';
import { yearLossesModel } from '../../src/report/year-losses-page.ts';
import { contextFrom } from './told.ts';

const JOURNAL = `law us
vessel T1..T4 tank 1200 L steel
block s Syrah region "Lower Teal" 1 ha
2026-09-01 Tue
08:00 found T1 1000 L as OLD of s, vintage 2025
`;

/** The sheet of the shares of each class: its caption, and the cells of what was stored. */
function shares(days: string): string[] {
  const context = contextFrom(JOURNAL + days);
  const flows = wineFlows(context.book);
  return periodsOf(context.book, 'year').flatMap((period) => {
    const volumes = periodVolumes(flows, period, toldUnits(flows.rules));
    return yearLossesModel(context, volumes, 'a.html', []).sections.flatMap(({ title, sheet }) =>
      title.endsWith('against the rule') && sheet !== undefined
        ? [
            `${title}; ${sheet.caption}`,
            ...sheet.rows
              .slice(0, 1)
              .map(({ cells }) => cells.map(({ figures: all }) => all.map(({ text }) => text).join(' ')).join(' | ')),
          ]
        : [],
    );
  });
}

describe('the shares of a year', () => {
  test.each([
    ['969 L, lees 31 L', '1000.0 L | 30.0 L | 31.0 L | 103.3 % | 1.0 L too much'],
    ['969.999 L, lees 30.001 L', '1000.000 L | 30.000 L | 30.001 L | above 100 % | 0.001 L too much'],
    ['969.96 L, lees 30.04 L', '1000.00 L | 30.00 L | 30.04 L | 100.1 % | 0.04 L too much'],
    ['970 L, lees 30 L', '1000.0 L | 30.0 L | 30.0 L | 100.0 % | 0.0 L'],
    ['970.001 L, lees 29.999 L', '1000.000 L | 30.000 L | 29.999 L | 99.9 % | 0.001 L'],
  ])('%s', (racked, told) => {
    const [title, row] = shares(`10:00 rack T1 to T2 ${racked}\n`);
    expect(title).toMatch(/how much of it is used$/u);
    expect(row?.replaceAll('\u00A0', ' ')).toContain(told);
  });

  test('say where what was lost came with wine of another class', () => {
    const told = shares('09:00 rack T1 to T2 990 L, lees 10 L\n10:00 reading T2 alcohol 16.1 %\n');
    const row = told.find((one) => one.includes('1000.0 L'));
    expect(row).toContain('10.0 L');
    expect(told[told.indexOf(row ?? '') - 1]).toMatch(
      /^Still wine above 16 to 21.*took along what had been lost of it$/u,
    );
  });
});

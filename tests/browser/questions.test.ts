/**
 * What a winemaker asks of the record: each question is answered within three clicks from the first page of the demo's site,
 * by links as they read. The answers are worked out here from the book, or by hand, not taken from the pages' own models.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { formatDate, parseDate } from '../../grammar/dates.ts';
import type { Book, Happening, LotRecord, VesselRecord } from '../../src/cellar/book.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { readFolder } from '../../src/cli/journal-files.ts';
import { siteOf } from '../site/build.ts';
import { askForBrowser, BROWSER, demoSite, type OnDisk, onDisk, openBrowser, watched } from './browser.ts';

askForBrowser();

const MOST_CLICKS = 3;
const LITRE = 1_000_000;
const DAY = 1440;

const demo = (on?: number): Book =>
  makeBook(readFolder(`${import.meta.dirname}/../../demo-journal`).files, on, checkJournal);

const found = <T>(value: T | undefined): T => {
  if (value === undefined) throw new Error('the demo has none');
  return value;
};

/** Spaces that do not break, and those between groups of figures, as plain ones. */
const plain = (text: string): string => text.replaceAll(/[\u00A0\u202F]/gu, ' ').replaceAll(/\s+/gu, ' ');

/** Litres as pages round them: to a tenth; groups from five digits on. */
function litres(microlitres: number): string {
  const rounded = Math.round(microlitres / 100_000) / 10;
  const [whole = '', tenth] = String(rounded).split('.');
  const groups = whole.length > 4 ? whole.replace(/(\d)(?=(?:\d{3})+$)/gu, '$1 ') : whole;
  return `${groups}${tenth === undefined ? '' : `.${tenth}`} L`;
}

/** Litres to the millilitre, as the months have them. */
const exactly = (microlitres: number): string =>
  `${(microlitres / LITRE)
    .toFixed(3)
    .replace(/\.?0+$/u, '')
    .replace(/^(\d{2})(\d{3})(?!\d)/u, '$1 $2')} L`;

const BARRELS: readonly string[] = ['barrel', 'puncheon'];

/** When a vessel was topped, from the events alone. */
const toppings = (book: Book, { facts }: VesselRecord): number[] =>
  book.happenings
    .filter(
      ({ event, movements }: Happening) =>
        event.kind === 'top' && movements.some((movement) => movement.kind === 'across' && movement.to === facts.id),
    )
    .map(({ event }) => event.minute);

describe.skipIf(BROWSER === undefined)('a question is answered within three clicks', () => {
  const book = demo();
  let browser: Browser;
  let site: OnDisk;
  let earlier: OnDisk;
  /** A day on which some barrel had waited for three weeks. */
  const waited = dayOfWaiting();
  const earlierBook = demo(waited);

  beforeAll(async () => {
    browser = await openBrowser();
    site = await onDisk(await demoSite());
    earlier = await onDisk(await siteOf(earlierBook));
  });

  afterAll(async () => {
    await browser?.close();
    await site?.remove();
    await earlier?.remove();
  });

  /** The day before the first topping that came more than three weeks after the last. */
  function dayOfWaiting(): number {
    for (const vessel of book.vessels) {
      for (const { from, until } of vessel.fills) {
        const topped = toppings(book, vessel).filter((minute) => minute > from && minute <= (until ?? minute));
        const late = topped.find((minute, i) => minute - (topped[i - 1] ?? from) > 22 * DAY);
        if (late !== undefined && BARRELS.includes(vessel.facts.kind)) return Math.floor(late / DAY) - 1;
      }
    }
    throw new Error('every barrel of the demo was topped in time');
  }

  const lotNamed = (name: string): LotRecord => found(book.lots.find(({ facts }) => facts.name === name));
  const vesselNamed = (name: string): VesselRecord => found(book.vessels.find(({ facts }) => facts.name === name));

  /** Follows links by the words they read as, from the first page on; `look` sees where they lead. */
  async function ask(clicks: readonly string[], look: (page: Page) => Promise<void>, at = site): Promise<void> {
    expect(clicks.length).toBeLessThanOrEqual(MOST_CLICKS);
    const { page, faults } = await watched(browser, at.urlOf(''), { width: 1280 });
    await page.goto(at.urlOf('index.html'));
    for (const name of clicks) {
      await page.getByRole('link', { name, exact: true }).first().click();
      await page.waitForLoadState('load');
    }
    await look(page);
    expect(faults).toEqual([]);
    await page.context().close();
  }

  const textOf = async (page: Page): Promise<string> => plain(await page.locator('main').innerText());

  /** The first row that a thing of that name heads. */
  async function rowOf(page: Page, name: string): Promise<string> {
    const row = page.locator('tr', { has: page.getByRole('rowheader', { name, exact: true }) }).first();
    return plain(await row.innerText());
  }

  test('what is in T2?', async () => {
    const { lot, content } = vesselNamed('T2');
    const name = found(book.lots[found(lot)]).facts.name;
    await ask(['T2'], async (page) => {
      const text = await textOf(page);
      expect(text).toContain(`T2 · ${name} ${litres(content.volume).replace(' L', '')} of 1200 L`);
    });
  });

  test('which lots are still fermenting, and when will they be dry?', async () => {
    const fermenting = book.lots.filter(
      ({ stage, onHand }) => onHand > 0 && (stage === 'must' || stage === 'juice' || stage === 'fermenting'),
    );
    expect(fermenting.length).toBeGreaterThan(2);
    await ask(['Ferments'], async (page) => {
      const text = await textOf(page);
      for (const { facts } of fermenting) expect(text).toContain(facts.name);
      const rows = page
        .getByRole('table', { name: /ferment/iu })
        .first()
        .locator('tbody tr');
      expect(await rows.count()).toBe(fermenting.flatMap(({ vessels }) => vessels).length);
      // a day, or why none is named, for each; at least one day lies after the last day of the record
      const days = [...text.matchAll(/\b(\d{1,2}) (Sep|Oct)\b/gu)].map(([, day, month]) =>
        parseDate(`2027-${month === 'Sep' ? '09' : '10'}-${String(day).padStart(2, '0')}`),
      );
      expect(Math.max(...days)).toBeGreaterThan(book.on);
      expect(text).toMatch(/dry/u);
    });
  });

  test('how many punch-downs had B7 yesterday?', async () => {
    const { id } = vesselNamed('B7').facts;
    const yesterday = book.happenings.filter(
      ({ event, vessels }) =>
        event.verb === 'punch-down' && vessels.includes(id) && Math.floor(event.minute / DAY) === book.on - 1,
    );
    const count = yesterday.reduce((sum, { event }) => sum + (event.kind === 'cap' ? event.times : 0), 0);
    expect(count).toBeGreaterThan(0);
    await ask(['Ferments'], async (page) => {
      const row = plain(
        await page
          .locator('tr', { has: page.getByRole('link', { name: 'B7', exact: true }) })
          .first()
          .innerText(),
      );
      expect(row).toContain(`${count} punch-down`);
    });
  });

  /** Days since a barrel was topped or filled. */
  function untopped(of: Book, vessel: VesselRecord): number {
    const filled = found(vessel.fills.at(-1)).from;
    return of.on - Math.floor(Math.max(filled, ...toppings(of, vessel).filter((minute) => minute >= filled)) / DAY);
  }
  const fullBarrels = (of: Book): VesselRecord[] =>
    of.vessels.filter(({ facts, content }) => BARRELS.includes(facts.kind) && content.volume > 0);

  test('which barrels have not been topped for three weeks?', async () => {
    const due = fullBarrels(earlierBook).filter((vessel) => untopped(earlierBook, vessel) >= 21);
    expect(due.length, formatDate(waited)).toBeGreaterThan(0);
    await ask(
      ['Vessels', 'Barrels'],
      async (page) => {
        const text = await textOf(page);
        expect(text).toContain(`${due.length} not topped for three weeks and longer`);
        for (const vessel of due)
          expect(await rowOf(page, vessel.facts.name)).toContain(`${untopped(earlierBook, vessel)} days`);
      },
      earlier,
    );
    // and where there is none, that is said
    expect(fullBarrels(book).every((vessel) => untopped(book, vessel) < 21)).toBe(true);
    await ask(['Vessels', 'Barrels'], async (page) => {
      expect(await textOf(page)).toContain('All were topped or filled within three weeks');
    });
  });

  test('how much SO2 has this lot had in all, and what is molecular now?', async () => {
    const lot = lotNamed('SYR-free');
    const readings = book.happenings.filter(
      ({ event, lots }) => event.kind === 'reading' && lots.includes(lot.facts.id),
    );
    const last = (analyte: string): number =>
      found(
        readings
          .flatMap(({ event }) => (event.kind === 'reading' ? event.measures : []))
          .filter((measure) => measure.analyte === analyte)
          .at(-1),
      ).value;
    // the plain constant of the trade: free / (1 + 10^(pH − 1.81))
    const molecular = last('free SO2') / (1 + 10 ** (last('pH') - 1.81));
    // what lies in its vessels of materials that bring sulfur dioxide, over their volume
    let [milligrams, volume] = [0, 0];
    for (const id of lot.vessels) {
      const { content } = found(book.vessels[id]);
      volume += content.volume;
      for (const [i, key] of content.materials.entries()) {
        const brings = book.materials[Math.floor(key / 3)]?.brings.find(({ analyte }) => analyte === 'SO2');
        if (brings?.per === 'mass') milligrams += ((content.amounts[i] ?? 0) * brings.amount) / 1e9;
      }
    }
    await ask(['Lots', 'SYR-free'], async (page) => {
      const text = await textOf(page);
      expect(text).toContain(`${molecular.toFixed(2)} mg/L molecular`);
      expect(text).toMatch(new RegExp(`had ${Math.round((milligrams / volume) * LITRE)} mg/L of sulfur dioxide`, 'u'));
    });
  });

  test('what share of the blend is Syrah, from which block, of which vintage?', async () => {
    const { composition } = lotNamed('26RUNG');
    const whole = composition.reduce((sum, one) => sum + one.volume, 0);
    const syrah = composition.filter(({ origin }) => book.origins[origin]?.variety === 'Syrah');
    const block = found(book.origins[found(syrah[0]).origin]);
    const volume = syrah
      .filter(({ origin }) => book.origins[origin]?.block === block.block)
      .reduce((sum, one) => sum + one.volume, 0);
    const share = `${Math.floor((volume / whole) * 1000) / 10} %`;
    await ask(['26RUNG'], async (page) => {
      const row = await rowOf(page, 'Syrah');
      expect(row).toContain(found(block.block));
      expect(row).toContain(String(block.vintage));
      expect(row).toContain(share);
    });
  });

  test('where did the missing litres go?', async () => {
    const { losses, account } = lotNamed('ROUS');
    const words: Readonly<Record<string, string>> = {
      lees: 'lees',
      evaporation: 'evaporated',
      handling: 'lost in handling',
    };
    const kinds = Object.entries(losses).filter(([, volume]) => volume > 0);
    expect(kinds.length).toBeGreaterThan(1);
    expect(account.lees).toBe(losses.lees);
    await ask(['Lots', 'ROUS'], async (page) => {
      const text = await textOf(page);
      for (const [kind, volume] of kinds) {
        const word = words[kind];
        if (word !== undefined) expect(text).toContain(`${word} ${litres(volume)}`);
      }
    });
  });

  /** Litres that entries of a verb moved out of a lot, as the book carried them out. */
  const movedBy = (verb: string, lot: LotRecord): number =>
    book.happenings
      .filter(({ event }) => event.verb === verb)
      .flatMap(({ movements }) => movements)
      .reduce(
        (sum, movement) =>
          sum + (movement.kind === 'across' && movement.fromLot === lot.facts.id ? movement.volume : 0),
        0,
      );

  test('free run against press run of this lot?', async () => {
    const lot = lotNamed('SYR');
    const [free, pressed] = [movedBy('drain', lot) + movedBy('bleed', lot), movedBy('press', lot)];
    expect(Math.min(free, pressed)).toBeGreaterThan(0);
    await ask(['Fruit', '2026'], async (page) => {
      const row = await rowOf(page, 'SYR');
      expect(row).toContain(litres(free));
      expect(row).toContain(litres(pressed));
    });
  });

  test('what was added to this lot, by whom, when, how much, which batch?', async () => {
    const lot = lotNamed('ROUS-27');
    const added = found(
      book.happenings.find(
        ({ event, added: parts }) => event.verb === 'add' && parts.some((part) => part.lot === lot.facts.id),
      ),
    );
    const [part] = added.added;
    const material = found(book.materials[found(part).material]).name;
    const grams = (found(part?.micrograms) / 1e6).toFixed(2).replace(/\.?0+$/u, '');
    await ask(['Lots', 'ROUS-27'], async (page) => {
      const rows = page.getByRole('region', { name: 'Additions' }).locator('tbody tr');
      const row = plain(await rows.filter({ hasText: material }).first().innerText());
      expect(row).toContain('24 Aug 2027');
      expect(row).toContain(`${grams} g`);
      for (const hand of added.event.hands) expect(row).toContain(hand);
    });
    // its batch: one of those the store had bought by then
    const bought = book.happenings.flatMap(({ event }) =>
      event.kind === 'buy' &&
      event.minute <= added.event.minute &&
      event.materials.some((one) => one.material === part?.material)
        ? [found(event.batch)]
        : [],
    );
    for (const batch of bought) {
      await ask(['Materials', batch], async (page) => {
        expect(await rowOf(page, 'ROUS-27')).toMatch(/added to it/u);
      });
    }
    expect(bought.length).toBeGreaterThan(0);
  });

  test('what did block ladder-1 yield?', async () => {
    const lot = lotNamed('SYR');
    const net = book.happenings.reduce(
      (sum, { event }) => sum + (event.kind === 'receive' && event.lot === lot.facts.id ? event.net : 0),
      0,
    );
    const out = book.happenings.reduce(
      (sum, { event }) => sum + (event.kind === 'sort' && event.lot === lot.facts.id ? event.out : 0),
      0,
    );
    // free run and pressings, and what was bled off early, over the fruit that was used
    const wine = movedBy('drain', lot) + movedBy('press', lot) + movedBy('bleed', lot);
    const perTonne = Math.round((wine / (net - out)) * 1e6);
    const hectares = found(book.blocks.find(({ name }) => name === 'ladder-1')?.hectares);
    await ask(['Fruit', '2026'], async (page) => {
      const row = await rowOf(page, 'ladder-1');
      expect(row).toContain(`${perTonne} L/t`);
      expect(row).toContain(`${Math.round(net / 1e9 / hectares)} kg/ha`);
    });
  });

  test('what was bottled?', async () => {
    const filled = book.happenings.flatMap(({ event }) => (event.kind === 'bottle' ? [event] : []));
    expect(filled.length).toBeGreaterThan(2);
    await ask(['Bottles'], async (page) => {
      for (const event of filled) {
        const row = await rowOf(page, found(book.lots[event.as]).facts.name);
        for (const { count, size } of event.bottles)
          expect(row).toContain(`${count} × ${size < LITRE ? `${size / 1000} mL` : `${size / LITRE} L`}`);
      }
    });
  });

  test('what did this month end with?', async () => {
    const held = book.vessels.reduce((sum, { content }) => sum + content.volume, 0);
    const bottled = book.lots.flatMap(({ bottles }) => bottles).reduce((sum, { count, size }) => sum + count * size, 0);
    await ask(['Volumes'], async (page) => {
      const text = await textOf(page);
      expect(text).toContain(`${exactly(held)} in vessels and ${exactly(bottled)} in bottle`);
    });
    // a month that is over: as the record of its last day has it
    const august = demo(parseDate('2027-08-31')).vessels.reduce((sum, { content }) => sum + content.volume, 0);
    await ask(['Volumes', 'August 2027'], async (page) => {
      expect(await rowOf(page, 'at the end')).toContain(exactly(august));
    });
  });
});

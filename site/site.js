/**
 * What a page can do beyond being read: tables sort and sift, charts tell their figures, the search page searches,
 * and paper bears the page's name. Nothing needs it. It asks for nothing, keeps nothing, and writes text only as text. A plain script and no module, for
 * pages opened from a disk may load no modules.
 */
(() => {
  document.addEventListener('DOMContentLoaded', () => {
    const tell = teller();
    for (const table of document.querySelectorAll('table[data-sort]')) {
      if (table instanceof HTMLTableElement) makeSortable(table, tell);
    }
    for (const figure of document.querySelectorAll('figure')) makeReadable(figure);
    makeSearchable();
    nameOnPaper();
  });

  /** Every printed page bears the name of the page, whose heading stands on the first only. */
  function nameOnPaper() {
    const name = document.title.replace(/["\\\p{C}]/gu, (letter) => `\\${letter.codePointAt(0)?.toString(16)} `);
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`@page { @bottom-left { content: "${name}"; font: 8pt sans-serif; color: #333; } }`);
    document.adoptedStyleSheets.push(sheet);
  }

  /**
   * @template {keyof HTMLElementTagNameMap} K
   * @param {K} name
   * @param {Record<string, string>} attributes
   * @param {(Node | string)[]} children
   * @returns {HTMLElementTagNameMap[K]}
   */
  function make(name, attributes, ...children) {
    const element = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    element.append(...children);
    return element;
  }

  /** Says a sentence to those who listen to the page. */
  function teller() {
    const region = make('p', { class: 'unseen', role: 'status' });
    document.body.append(region);
    return (/** @type {string} */ words) => {
      region.textContent = words;
    };
  }

  /** Text that has no accents. */
  const PLAIN = /^[\0-\x7f]*$/;

  /** Letters without their accents, small: what is typed finds what is written. */
  function fold(/** @type {string} */ text) {
    if (PLAIN.test(text)) return text.toLowerCase();
    return text
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .toLowerCase();
  }

  function wordsOf(/** @type {string} */ text) {
    return fold(text)
      .split(/\s+/)
      .filter((word) => word !== '');
  }

  // Tables

  const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
  /** What a figure's unit counts, in the unit its kind is compared in. */
  const UNITS = new Map([
    ...Object.entries({ mL: 0.001, L: 1, hL: 100, gal: 3.785411784 }),
    ...Object.entries({ mg: 1e-6, g: 0.001, kg: 1, t: 1000, lb: 0.45359237 }),
    ...Object.entries({ day: 1, days: 1, month: 30.4375, months: 30.4375, year: 365.25, years: 365.25 }),
  ]);

  const byName = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

  /** @typedef {{ rank: 0 | 1 | 2, value: number, text: string }} SortKey measured before worded, empty last */

  /**
   * @param {HTMLTableCellElement | undefined} cell
   * @returns {SortKey}
   */
  function keyOf(cell) {
    const text = cell?.textContent?.trim() ?? '';
    if (cell === undefined || text === '') return { rank: 2, value: 0, text };
    const day = cell.querySelector('time')?.dateTime ?? '';
    const value = day === '' ? measureOf(text, cell.classList.contains('number')) : minuteOf(day, text);
    return Number.isNaN(value) ? { rank: 1, value: 0, text } : { rank: 0, value, text };
  }

  /** A day with the time of day that stands beside it, in minutes. */
  function minuteOf(/** @type {string} */ day, /** @type {string} */ text) {
    const [, hours = '0', minutes = '0'] = /(\d\d):(\d\d)/.exec(text) ?? [];
    return Date.parse(`${day.slice(0, 10)}T00:00:00Z`) / 60_000 + Number(hours) * 60 + Number(minutes);
  }

  /**
   * A day, an age or a figure as a number, or not a number where it is a name or a sentence.
   *
   * @param {string} text
   * @param {boolean} figure whether the column is one of figures
   */
  function measureOf(text, figure) {
    const [, date, month = '', year] = /^(\d{1,2}) ([A-Z][a-z]{2}) (\d{4})\b/.exec(text) ?? [];
    if (MONTHS.includes(month)) return Date.UTC(Number(year), MONTHS.indexOf(month), Number(date)) / 60_000;
    if (text === 'today') return 0;
    const ages = [...text.matchAll(/(\d+) (days?|months?|years?)/g)];
    if (ages.length > 0 && /^\d+ (?:days?|months?|years?)\b/.test(text)) {
      return ages.reduce((sum, [, count, unit = '']) => sum + Number(count) * (UNITS.get(unit) ?? 1), 0);
    }
    if (!figure) return Number.NaN;
    // Bottles count by what they hold, beside wine that is in none.
    const bottles = [...text.matchAll(/([\d\s]+) × ([\d.]+)\s(mL|L)/g)];
    if (bottles.length > 0) {
      return bottles.reduce(
        (sum, [, count = '', size, unit = '']) => sum + numberOf(count) * Number(size) * (UNITS.get(unit) ?? 1),
        0,
      );
    }
    const [, number, unit = ''] = /^[~<>]?\s*([-−]?[\d\s]*\.?\d+)\s*([a-zA-Z]*)/.exec(text) ?? [];
    if (number === undefined) return Number.NaN;
    return numberOf(number) * (UNITS.get(unit) ?? 1);
  }

  /** A figure with a true minus, and blanks between its thousands. */
  function numberOf(/** @type {string} */ text) {
    return Number(text.replace(/\s/g, '').replace('−', '-'));
  }

  /**
   * @param {SortKey} a
   * @param {SortKey} b
   * @param {1 | -1} way
   */
  function compareKeys(a, b, way) {
    if (a.rank !== b.rank) return a.rank - b.rank;
    if (a.rank === 2) return 0;
    return way * (a.rank === 0 ? a.value - b.value : byName.compare(a.text, b.text));
  }

  /**
   * A click on a column's head sorts by it upwards, another downwards, a third puts the rows back as they were built.
   *
   * @param {HTMLTableElement} table
   * @param {(words: string) => void} tell
   */
  function makeSortable(table, tell) {
    const [body] = table.tBodies;
    const head = table.tHead?.rows[0];
    if (body === undefined || head === undefined || table.tBodies.length > 1 || body.rows.length < 2) return;
    const built = [...body.rows];
    if (built.some((row) => row.cells.length !== head.cells.length)) return;
    const heads = [...head.cells];
    for (const [column, cell] of heads.entries()) {
      const name = cell.textContent?.trim() ?? '';
      if (name === '') continue;
      const button = make('button', { type: 'button' }, ...cell.childNodes);
      cell.append(button);
      button.addEventListener('click', () => {
        const before = cell.getAttribute('aria-sort');
        for (const other of heads) other.removeAttribute('aria-sort');
        if (before === 'descending') {
          body.append(...built);
          tell(`${name}: rows as they were`);
          return;
        }
        const way = before === null ? 1 : -1;
        cell.setAttribute('aria-sort', way === 1 ? 'ascending' : 'descending');
        const keys = new Map(built.map((row) => [row, keyOf(row.cells[column])]));
        const none = keyOf(undefined);
        body.append(...[...built].sort((a, b) => compareKeys(keys.get(a) ?? none, keys.get(b) ?? none, way)));
        tell(`${name}: sorted ${way === 1 ? 'upwards' : 'downwards'}`);
      });
    }
    addSieve(table, built);
  }

  /**
   * A field above a long table, where the page has kept room for it, that leaves only the rows that hold every word typed.
   *
   * @param {HTMLTableElement} table
   * @param {HTMLTableRowElement[]} rows
   */
  function addSieve(table, rows) {
    const region = table.closest('.scroll.long');
    if (region === null) return;
    const input = make('input', { type: 'search', autocomplete: 'off', spellcheck: 'false' });
    const count = make('output', {});
    region.prepend(make('p', { class: 'sift' }, make('label', {}, 'Rows with ', input), ' ', count));
    /** @type {string[] | undefined} */
    let texts;
    input.addEventListener('input', () => {
      texts ??= rows.map((row) => fold([...row.cells].map(({ textContent }) => textContent).join(' ')));
      const words = wordsOf(input.value);
      let shown = 0;
      for (const [index, row] of rows.entries()) {
        row.hidden = !words.every((word) => texts?.[index]?.includes(word));
        if (!row.hidden) shown += 1;
      }
      count.textContent = words.length === 0 ? '' : `${shown} of ${rows.length}`;
    });
  }

  // Charts

  /** @typedef {{ x: number, y: number | undefined, words: string, part?: Element }} Stop a place within a drawing */

  /** Cells told one by one; of more, the span is told. */
  const MOST_CELLS = 8;
  /** Pixels from a part within which it is meant. */
  const NEAR = 14;

  /**
   * Lets a pointer, or the arrow keys by way of a slider that shows while it has the focus, go through a chart's figures:
   * the parts that have a title, and the rows of the tables beside it that stand at a time of the chart's axis.
   *
   * @param {HTMLElement} figure
   */
  function makeReadable(figure) {
    const drawings = [...figure.querySelectorAll('svg.chart')].filter((svg) => svg instanceof SVGSVGElement);
    const [first] = drawings;
    if (first === undefined) return;
    const timed = axisOf(first) !== undefined && tablesBy(figure).some((table) => table.querySelector('tbody time'));
    if (!timed && drawings.every((svg) => partsOf(svg).length === 0)) return;
    /** Read when they are first asked for. @type {{ minute: number, words: string }[] | undefined} */
    let rows;
    const name = first.querySelector(':scope > title')?.textContent ?? 'the chart';
    const said = make('output', {});
    const slider = make('input', { type: 'range', class: 'reader', min: '0', value: '0', step: '1' });
    slider.setAttribute('aria-label', `Figures of ${name}`);
    figure.append(slider, make('p', { class: 'aloud' }, said));
    const line = document.createElementNS('http://www.w3.org/2000/svg', 'line');
    line.setAttribute('class', 'pointed');

    const shown = () => drawings.find((svg) => svg.getClientRects().length > 0) ?? first;

    /** @type {{ svg: SVGSVGElement, width: number, stops: Stop[] } | undefined} */
    let known;
    const stopsIn = (/** @type {SVGSVGElement} */ svg) => {
      const { width } = svg.getBoundingClientRect();
      if (known?.svg !== svg || known.width !== width) {
        rows ??= rowsOf(figure, svg);
        const stops = stopsOf(svg, rows).sort((a, b) => a.x - b.x || (a.y ?? 0) - (b.y ?? 0));
        known = { svg, width, stops };
      }
      return known.stops;
    };

    /** @param {Stop | undefined} stop */
    const show = (stop) => {
      figure.querySelector('.told')?.classList.remove('told');
      line.remove();
      if (said.textContent !== (stop?.words ?? '')) said.textContent = stop?.words ?? '';
      if (stop === undefined) return;
      const svg = shown();
      stop.part?.classList.add('told');
      const { width, height } = svg.viewBox.baseVal;
      const x = ((stop.x / svg.getBoundingClientRect().width) * width).toFixed(1);
      for (const [key, value] of Object.entries({ x1: x, x2: x, y1: '0', y2: String(height) }))
        line.setAttribute(key, value);
      svg.append(line);
    };

    const step = () => {
      const stops = stopsIn(shown());
      slider.max = String(Math.max(0, stops.length - 1));
      const at = Number(slider.value);
      slider.setAttribute('aria-valuetext', `${at + 1} of ${stops.length}`);
      show(stops[at]);
    };
    slider.addEventListener('focus', step);
    slider.addEventListener('input', step);
    slider.addEventListener('blur', () => show(undefined));

    const point = (/** @type {PointerEvent} */ event) => {
      const svg = shown();
      if (event.target instanceof Node && svg.contains(event.target)) show(nearest(stopsIn(svg), svg, event));
    };
    figure.addEventListener('pointermove', point);
    figure.addEventListener('pointerdown', point);
    figure.addEventListener('pointerleave', () => show(undefined));
    figure.ownerDocument.addEventListener('keydown', ({ key }) => {
      if (key === 'Escape' && said.textContent !== '') show(undefined);
    });
  }

  /** The parts of a drawing that have a title of their own. */
  function partsOf(/** @type {SVGSVGElement} */ svg) {
    return [...svg.querySelectorAll('title')].flatMap(({ parentNode, textContent }) =>
      parentNode instanceof SVGElement && parentNode !== svg ? [{ part: parentNode, words: textContent ?? '' }] : [],
    );
  }

  /**
   * @param {SVGSVGElement} svg
   * @param {{ minute: number, words: string }[]} rows
   * @returns {Stop[]} in pixels from the drawing's corner
   */
  function stopsOf(svg, rows) {
    const frame = svg.getBoundingClientRect();
    const stops = partsOf(svg).map(({ part, words }) => {
      const box = part.getBoundingClientRect();
      return { x: box.x + box.width / 2 - frame.x, y: box.y + box.height / 2 - frame.y, words, part };
    });
    const axis = axisOf(svg);
    if (axis === undefined) return stops;
    const scale = frame.width / svg.viewBox.baseVal.width;
    const within = rows.filter(({ minute }) => minute >= axis.from && minute <= axis.until);
    return [
      ...stops,
      ...within.map(({ minute, words }) => ({
        x: (axis.left + ((minute - axis.from) / (axis.until - axis.from)) * (axis.right - axis.left)) * scale,
        y: undefined,
        words,
      })),
    ];
  }

  /** The minutes at the ends of a drawing's axis of time, and where these are. */
  function axisOf(/** @type {SVGSVGElement} */ svg) {
    const axis = svg.querySelector('[data-from]');
    if (!(axis instanceof SVGLineElement)) return undefined;
    const [from, until] = [Number(axis.dataset.from), Number(axis.dataset.until)];
    if (!(until > from)) return undefined;
    return { from, until, left: axis.x1.baseVal.value, right: axis.x2.baseVal.value };
  }

  /**
   * The part under the pointer or close to it; else the row whose time is nearest.
   *
   * @param {Stop[]} stops
   * @param {SVGSVGElement} svg
   * @param {PointerEvent} event
   * @returns {Stop | undefined}
   */
  function nearest(stops, svg, event) {
    const frame = svg.getBoundingClientRect();
    const [x, y] = [event.clientX - frame.x, event.clientY - frame.y];
    const target = event.target;
    const under = stops.find(({ part }) => part !== undefined && target instanceof Node && part.contains(target));
    if (under !== undefined) return under;
    const least = (
      /** @type {Stop[]} */ among,
      /** @type {(stop: Stop) => number} */ far,
      /** @type {number} */ most,
    ) =>
      among.reduce(
        (/** @type {{ stop: Stop | undefined, far: number }} */ best, stop) =>
          far(stop) < best.far ? { stop, far: far(stop) } : best,
        { stop: undefined, far: most },
      ).stop;
    return (
      least(
        stops.filter((stop) => stop.y !== undefined),
        (stop) => Math.hypot(stop.x - x, (stop.y ?? 0) - y),
        NEAR,
      ) ??
      least(
        stops.filter((stop) => stop.y === undefined),
        (stop) => Math.abs(stop.x - x),
        Number.POSITIVE_INFINITY,
      )
    );
  }

  /** The tables between a chart and the next; where there are none, for charts stand side by side, all of its section. */
  function tablesBy(/** @type {HTMLElement} */ figure) {
    const parts = [...(figure.closest('section')?.querySelectorAll('figure, table') ?? [])];
    const behind = parts.slice(parts.indexOf(figure) + 1);
    const next = behind.findIndex((part) => part.localName === 'figure');
    const tables = (/** @type {Element[]} */ among) => among.filter((part) => part instanceof HTMLTableElement);
    const own = tables(next < 0 ? behind : behind.slice(0, next));
    return own.length > 0 ? own : tables(parts);
  }

  /**
   * The rows of the tables beside a chart that begin with a day, one for each minute.
   *
   * @param {HTMLElement} figure
   * @param {SVGSVGElement} svg
   */
  function rowsOf(figure, svg) {
    if (axisOf(svg) === undefined) return [];
    /** @type {Map<number, { minute: number, when: string, told: string[] }>} */
    const rows = new Map();
    const tables = tablesBy(figure).filter((table) => table.querySelector('tbody time') !== null);
    for (const table of tables) {
      // Of several tables each says what it is of: `Temperature by vessel, in °C` is of temperature.
      const of = tables.length > 1 ? `${table.caption?.textContent?.split(/ by |[,;]/)[0]?.trim() ?? ''} ` : '';
      const names = [...(table.tHead?.rows[0]?.cells ?? [])].map(({ textContent }) => textContent?.trim() ?? '');
      for (const { cells } of table.tBodies[0]?.rows ?? []) {
        const [start, ...others] = cells;
        const day = start?.querySelector('time')?.dateTime;
        const words = tellCells(others, names.slice(1));
        if (start === undefined || day === undefined || words === '') continue;
        const when = start.textContent?.trim().replace(/\s+/g, ' ') ?? '';
        const minute = minuteOf(day, when);
        const row = rows.get(minute);
        if (row === undefined) rows.set(minute, { minute, when, told: [of + words] });
        else row.told.push(of + words);
      }
    }
    return [...rows.values()].map(({ minute, when, told }) => ({ minute, words: `${when}: ${told.join(' · ')}` }));
  }

  /**
   * @param {HTMLTableCellElement[]} cells
   * @param {string[]} names
   */
  function tellCells(cells, names) {
    const figures = cells.flatMap((cell, index) => {
      const text = cell.classList.contains('number') ? (cell.textContent?.trim() ?? '') : '';
      return text === '' ? [] : [{ name: names[index] ?? '', text, value: measureOf(text, true) }];
    });
    if (figures.length <= MOST_CELLS) return figures.map(({ name, text }) => `${name} ${text}`).join(', ');
    const [lowest, ...rest] = [...figures].sort((a, b) => a.value - b.value);
    const highest = rest.at(-1);
    return `${figures.length} read, from ${lowest?.text} (${lowest?.name}) to ${highest?.text} (${highest?.name})`;
  }

  // Search

  /**
   * @typedef {{ kind: string, title: string, detail: string, href: string, inTitle: string, inDetail: string }} Entry
   * @typedef {[title: string, detail: string, page: number, anchor?: string]} IndexRow
   * @typedef {{ pages: string[], kinds: [one: string, many: string, rows: IndexRow[]][] }} Index
   */

  const MOST_FOUND = 50;
  /** Characters of a long text that are shown before the first word found in it, and in all. */
  const BEFORE = 60;
  const MOST_SHOWN = 240;

  function makeSearchable() {
    const finder = document.querySelector('.finder');
    const input = finder?.querySelector('input');
    const told = finder?.querySelector('output');
    const list = document.querySelector('ol.found');
    const named = document.querySelector('.named');
    /** @type {Index | undefined} */
    const index = Reflect.get(globalThis, 'ullageIndex');
    if (!finder || !input || !told || !(list instanceof HTMLElement) || !(named instanceof HTMLElement)) return;
    if (index === undefined) return;
    const entries = entriesOf(index);
    finder.classList.add('ready');

    const look = () => {
      const words = wordsOf(input.value);
      named.hidden = words.length > 0;
      list.hidden = words.length === 0;
      if (words.length === 0) {
        list.replaceChildren();
        told.textContent = '';
        return;
      }
      const found = findIn(entries, words);
      list.replaceChildren(...found.slice(0, MOST_FOUND).map((entry) => resultOf(entry, words)));
      told.textContent =
        found.length > MOST_FOUND ? `The first ${MOST_FOUND} of ${found.length}` : `${found.length} found`;
    };
    const links = () => [...list.querySelectorAll('a')];
    input.addEventListener('input', look);
    finder.addEventListener('submit', (event) => {
      event.preventDefault();
      links()[0]?.focus();
    });
    input.addEventListener('keydown', (event) => {
      if (event.key !== 'ArrowDown') return;
      event.preventDefault();
      links()[0]?.focus();
    });
    list.addEventListener('keydown', (event) => {
      const all = links();
      const at = all.findIndex((link) => link.matches(':focus'));
      const way = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
      if (event.key !== 'Escape' && way === 0) return;
      event.preventDefault();
      if (way === 0 || at + way < 0) input.focus();
      else all[at + way]?.focus();
    });
    // Who comes back from a result finds the words still there.
    list.addEventListener('click', () => history.replaceState(null, '', `#${encodeURIComponent(input.value)}`));
    const before = location.hash.slice(1);
    if (before !== '' && input.value === '') input.value = decoded(before);
    if (input.value !== '') look();
  }

  function decoded(/** @type {string} */ text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return '';
    }
  }

  /**
   * @param {Index} index
   * @returns {Entry[]}
   */
  function entriesOf({ pages, kinds }) {
    return kinds.flatMap(([kind, , rows]) =>
      rows.map(([title, detail, page, anchor]) => ({
        kind,
        title,
        detail,
        href: `${pages[page] ?? ''}${anchor === undefined ? '' : `#${anchor}`}`,
        inTitle: fold(title),
        inDetail: fold(detail),
      })),
    );
  }

  /**
   * Entries that hold every word, those with the words at the start of their name first, else in the order of the index.
   *
   * @param {Entry[]} entries
   * @param {string[]} words
   */
  function findIn(entries, words) {
    /** By rank. @type {Entry[][]} */
    const found = [];
    for (const entry of entries) {
      let rank = 0;
      for (const word of words) {
        const one = rankOf(entry, word);
        rank = one < 0 ? -1 : rank + one;
        if (rank < 0) break;
      }
      if (rank < 0) continue;
      const alike = found[rank];
      if (alike === undefined) found[rank] = [entry];
      else alike.push(entry);
    }
    return found.flat();
  }

  /**
   * @param {Entry} entry
   * @param {string} word
   * @returns {number} 0 best, -1 not there
   */
  function rankOf({ inTitle, inDetail }, word) {
    const at = inTitle.indexOf(word);
    if (at === 0) return inTitle.length === word.length ? 0 : 1;
    if (at > 0) return /[\s-]/.test(inTitle[at - 1] ?? '') ? 2 : 3;
    return inDetail.includes(word) ? 4 : -1;
  }

  /**
   * @param {Entry} entry
   * @param {string[]} words
   */
  function resultOf({ kind, title, detail, href }, words) {
    const link = make('a', { href }, make('bdi', {}, ...marked(title, words)));
    const text = make('bdi', {}, ...marked(aroundFirst(detail, words), words));
    return make('li', {}, link, ' ', make('span', { class: 'tag' }, kind), ' ', make('span', { class: 'quiet' }, text));
  }

  /**
   * A long text from shortly before the first word found in it.
   *
   * @param {string} text
   * @param {string[]} words
   */
  function aroundFirst(text, words) {
    const first = spansOf(text, words)[0]?.from ?? 0;
    const from = first > BEFORE * 2 ? first - BEFORE : 0;
    const cut = text.slice(from, from + MOST_SHOWN);
    return `${from > 0 ? '…' : ''}${cut}${from + MOST_SHOWN < text.length ? '…' : ''}`;
  }

  /**
   * The text with the words found in it marked.
   *
   * @param {string} text
   * @param {string[]} words
   */
  function marked(text, words) {
    /** @type {(Node | string)[]} */
    const parts = [];
    let at = 0;
    for (const { from, until } of spansOf(text, words)) {
      if (from > at) parts.push(text.slice(at, from));
      parts.push(make('mark', {}, text.slice(from, until)));
      at = until;
    }
    parts.push(text.slice(at));
    return parts;
  }

  /**
   * Where the words stand in the text as it is written, whatever folding it did to its length; apart, in order.
   *
   * @param {string} text
   * @param {string[]} words
   */
  function spansOf(text, words) {
    const { folded, places } = foldWithPlaces(text);
    const spans = words.flatMap((word) => {
      const found = [];
      for (let at = folded.indexOf(word); at >= 0; at = folded.indexOf(word, at + word.length)) {
        const last = at + word.length - 1;
        found.push(
          places === undefined
            ? { from: at, until: last + 1 }
            : { from: places[at]?.from ?? 0, until: places[last]?.until ?? 0 },
        );
      }
      return found;
    });
    let end = 0;
    return spans
      .sort((a, b) => a.from - b.from || b.until - a.until)
      .filter(({ from, until }) => {
        const apart = from >= end;
        if (apart) end = until;
        return apart;
      });
  }

  /**
   * A text folded, and for each unit of that where its letter begins and ends in the text, unless all keep their places.
   *
   * @param {string} text
   */
  function foldWithPlaces(text) {
    if (PLAIN.test(text)) return { folded: fold(text), places: undefined };
    let folded = '';
    /** @type {{ from: number, until: number }[]} */
    const places = [];
    let start = 0;
    for (const letter of text) {
      const small = fold(letter);
      const last = places.at(-1);
      // An accent by itself belongs to the letter before it.
      if (small === '' && last !== undefined && last.until === start) last.until += letter.length;
      for (let unit = 0; unit < small.length; unit += 1) places.push({ from: start, until: start + letter.length });
      start += letter.length;
      folded += small;
    }
    return { folded, places };
  }
})();

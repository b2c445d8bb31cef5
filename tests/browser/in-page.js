/** What the browser tests ask of a page, from within it: plain script that the tests lay into every page they open. */

/** How far things moved by themselves after they were first shown, as the browser counts it. */
let moved = 0;
const shifts = new PerformanceObserver((list) => countShifts(list.getEntries()));
shifts.observe({ type: 'layout-shift', buffered: true });

/** Things a page can be led to by the Tab key, in the order they stand in; those it was led to, and those that did not show it. */
let reachable = [];
let shown = new Set();
let unseen = [];
document.addEventListener('focusin', ({ target }) => {
  const { outlineStyle, outlineWidth } = getComputedStyle(target);
  shown.add(target);
  if (outlineStyle === 'none' || Number.parseFloat(outlineWidth) < 2) unseen.push(reachable.indexOf(target));
});

/** What a text of the journal would call if it ran, and what the page's policy had to refuse. */
const trap = [];
globalThis.trapped = (what) => trap.push(`ran: ${what}`);
for (const name of ['alert', 'confirm', 'prompt', 'print', 'open'])
  globalThis[name] = () => trap.push(`called ${name}`);
document.addEventListener('securitypolicyviolation', ({ effectiveDirective, blockedURI }) => {
  trap.push(`refused: ${effectiveDirective} ${blockedURI}`);
});

globalThis.inPage = {
  trap() {
    return trap;
  },

  /** How long the page is busy when the search is given these words, in milliseconds, so many times. */
  typing(words, times) {
    const input = document.querySelector('.finder input');
    return Array.from({ length: times }, () => {
      const start = performance.now();
      input.value = words;
      input.dispatchEvent(new Event('input'));
      document.body.getBoundingClientRect();
      return performance.now() - start;
    });
  },

  /** Uses the page as a reader might: opens, hovers, sorts, and goes through the charts. */
  use() {
    for (const details of document.querySelectorAll('details')) details.open = true;
    for (const button of document.querySelectorAll('th button')) button.click();
    for (const element of document.querySelectorAll('main :is(a, th, figure, svg > *)')) {
      for (const name of ['pointermove', 'mouseover', 'focus'])
        element.dispatchEvent(new Event(name, { bubbles: true }));
    }
  },

  /**
   * Figures that stand right behind a word from right to left, and on its line, but are shown before it. Lines of the
   * journal are shown as an editor would show them, and notes and remarks run the way they begin.
   */
  turned() {
    const found = [];
    const texts = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
      if (node.parentElement.closest('.journal, .excerpt, [dir=auto]') !== null) continue;
      for (const match of node.data.matchAll(/[\u0590-\u06ff][\u2068\u2069]*[^\p{L}\p{N}]{1,8}(\d+ )/gu)) {
        const start = match.index;
        const digits = match.index + match[0].length - match[1].length;
        const [word, figure] = [rectOf(node, start, start + 1), rectOf(node, digits, digits + match[1].length - 1)];
        if (word !== undefined && figure !== undefined && word.top === figure.top && figure.left < word.left) {
          found.push(node.data.slice(Math.max(0, start - 20), digits + 10));
        }
      }
    }
    return found;
  },

  moved() {
    countShifts(shifts.takeRecords());
    return moved;
  },

  /** Opens what is folded, and lists what the keyboard has to reach. */
  reachable() {
    for (const details of document.querySelectorAll('details')) details.open = true;
    reachable = [...document.querySelectorAll('a[href], button, input, summary, [tabindex="0"]')].filter(
      (element) => element.checkVisibility({ visibilityProperty: true }) && !element.disabled,
    );
    shown = new Set();
    unseen = [];
    return reachable.length;
  },

  /** What the keyboard came to since then: what it missed, and where the focus was not seen, by the places in the list. */
  reached() {
    return { missed: reachable.flatMap((element, at) => (shown.has(element) ? [] : [at])), unseen };
  },

  nameOf(at) {
    return reachable[at]?.outerHTML.slice(0, 120);
  },

  /** Where the parts of the page stand, to compare. */
  places() {
    return [...document.querySelectorAll('main, h1, h2, section, .scroll table, th, figure, footer')].map((element) => {
      const { x, y, width, height } = element.getBoundingClientRect();
      return [element.tagName, x, y + scrollY, width, height]
        .map((part) => (part >= 0 ? Math.round(part * 10) / 10 : part))
        .join(' ');
    });
  },

  /** The spacing of text that WCAG 2.2 asks a page to bear (success criterion 1.4.12). */
  spaceText() {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(
      '* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }' +
        'p { margin-bottom: 2em !important }',
    );
    document.adoptedStyleSheets = [sheet];
  },

  /** Links of the menu that lie outside the window, or over one another. */
  menuFaults() {
    const boxes = [...document.querySelectorAll('nav a')].map((link) => link.getBoundingClientRect());
    const outside = boxes.filter(({ left, right }) => left < 0 || right > innerWidth + 0.5).length;
    const over = boxes.filter((a, index) =>
      boxes
        .slice(index + 1)
        .some((b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1),
    ).length;
    return outside + over;
  },

  /** The texts of a table's column, as it stands. */
  column(selector, index) {
    return [...document.querySelectorAll(`${selector} tbody tr`)]
      .filter((row) => !row.hidden)
      .map((row) => row.cells[index].textContent.trim());
  },

  /** What every page owes. */
  told() {
    return {
      headings: document.querySelectorAll('h1').length,
      ids: [...document.querySelectorAll('[id]')].map(({ id }) => id),
      // Links of notes go where their writer wanted; all others are the site's own.
      links: [...document.querySelectorAll('a[href]')]
        .filter((a) => a.closest('.text:not(.help)') === null)
        // Those within drawings tell theirs in another way.
        .map((a) => new URL(a.getAttribute('href'), document.baseURI).href),
      styled: getComputedStyle(document.body).maxWidth !== 'none',
      language: document.documentElement.lang,
      named: [...document.querySelectorAll('svg[role=img]')].every(
        (svg) => svg.querySelector('title')?.textContent !== '',
      ),
    };
  },

  hrefs(selector) {
    return [...document.querySelectorAll(selector)].map((a) => a.getAttribute('href') ?? '');
  },

  /** Pixels by which the page is wider than its window; folded tables are opened first, for they count too. */
  overflow() {
    for (const details of document.querySelectorAll('details')) details.open = true;
    return document.documentElement.scrollWidth - innerWidth;
  },

  focused() {
    return document.activeElement?.getAttribute('href') ?? document.activeElement?.id ?? '';
  },

  background(id) {
    return getComputedStyle(document.getElementById(id)).backgroundColor;
  },

  onPaper() {
    return {
      menu: getComputedStyle(document.querySelector('nav')).display,
      paper: getComputedStyle(document.body).backgroundColor,
      ink: getComputedStyle(document.body).color,
    };
  },

  /**
   * Texts whose contrast with the colour behind them is below WCAG 2.2 AA (success criterion 1.4.3): 4.5 to 1, or 3 to 1
   * for large ones. Words within drawings stand on the page's own colour, or on a bar's.
   */
  faint() {
    const found = new Set();
    for (const element of document.querySelectorAll('body *')) {
      const words = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim() !== '');
      const hidden = element.closest('title, desc, .skip') !== null || element.getClientRects().length === 0;
      if (!words || hidden) continue;
      const style = getComputedStyle(element);
      const drawn = element.namespaceURI.endsWith('svg');
      const bar = element.classList.contains('part-name') ? element.previousElementSibling : null;
      const behind = bar === null ? backgroundOf(element) : channels(getComputedStyle(bar).fill);
      const contrast = contrastOf(channels(drawn ? style.fill : style.color), behind);
      const size = Number.parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      if (contrast < (large ? 3 : 4.5)) {
        found.add(`${element.tagName}.${element.getAttribute('class')}: ${contrast.toFixed(2)}`);
      }
    }
    return [...found];
  },
};

function rectOf(node, from, until) {
  const range = document.createRange();
  range.setStart(node, from);
  range.setEnd(node, until);
  return range.getClientRects()[0];
}

function countShifts(entries) {
  for (const { value, hadRecentInput } of entries) if (!hadRecentInput) moved += value;
}

function channels(colour) {
  return (colour.match(/[0-9.]+/gu) ?? []).map(Number);
}

function backgroundOf(element) {
  for (let at = element; at !== null; at = at.parentElement) {
    const colour = channels(getComputedStyle(at).backgroundColor);
    if (colour.length === 3 || colour[3] === 1) return colour;
  }
  return [255, 255, 255];
}

function contrastOf(a, b) {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

function luminance(colour) {
  const [red, green, blue] = colour.slice(0, 3).map((value) => {
    const share = value / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

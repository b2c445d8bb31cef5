/** What the browser tests ask of a page, from within it: plain script that the tests lay into every page they open. */

globalThis.inPage = {
  /** What every page owes. */
  told() {
    return {
      headings: document.querySelectorAll('h1').length,
      ids: [...document.querySelectorAll('[id]')].map(({ id }) => id),
      // Links of notes go where their writer wanted; all others are the site's own.
      links: [...document.querySelectorAll('a[href]')]
        .filter((a) => a.closest('.text:not(.help)') === null)
        .map((a) => a.href),
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

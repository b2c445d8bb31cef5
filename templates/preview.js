/**
 * What a page does while it is served by `ullage watch`: it asks to be told of changes, comes again where it was when it
 * has changed, and shows at its foot what is found in the journal. No file on the disk has this in it.
 */
(() => {
  const own = document.currentScript;
  if (!(own instanceof HTMLScriptElement)) return;
  const path = own.dataset.path ?? '';
  const build = own.dataset.build ?? '0';
  const kept = `ullage preview ${path}`;

  /** Where the reader is on the page. */
  const place = () => ({
    x: scrollX,
    y: scrollY,
    open: [...document.querySelectorAll('details')].map((details) => details.open),
  });

  const comeBack = () => {
    const text = sessionStorage.getItem(kept);
    sessionStorage.removeItem(kept);
    if (text === null) return;
    const { x, y, open } = JSON.parse(text);
    for (const [i, details] of [...document.querySelectorAll('details')].entries()) {
      if (open[i] !== undefined) details.open = open[i];
    }
    scrollTo({ left: x, top: y, behavior: 'instant' });
  };

  const host = document.createElement('aside');
  host.setAttribute('aria-label', 'Preview');
  const root = host.attachShadow({ mode: 'open' });
  const look = new CSSStyleSheet();
  look.replaceSync(`
    a { position: fixed; right: 0; bottom: 0; z-index: 9; padding: 0.2em 0.7em; border-top-left-radius: 0.4em;
      font: 0.8rem/1.5 system-ui, sans-serif; color: CanvasText; background: Canvas; border: 1px solid GrayText;
      border-width: 1px 0 0 1px; text-decoration: none; opacity: 0.85 }
    a:hover, a:focus { opacity: 1; text-decoration: underline }
    a.errors { border-left: 0.4em solid #b3261e }
    a.warnings { border-left: 0.4em solid #b07a00 }
    @media print { a { display: none } }`);
  root.adoptedStyleSheets = [look];
  const strip = document.createElement('a');
  strip.href = '/findings.html';
  strip.setAttribute('role', 'status');
  root.append(strip);

  /** @param {{ errors: number, warnings: number, notes: number }} counts */
  const show = ({ errors, warnings, notes }) => {
    const of = (/** @type {number} */ n, /** @type {string} */ word) =>
      n === 0 ? [] : [`${n} ${word}${n === 1 ? '' : 's'}`];
    const told = [...of(errors, 'error'), ...of(warnings, 'warning'), ...of(notes, 'note')];
    strip.textContent = told.length === 0 ? 'nothing found' : told.join(', ');
    strip.className = errors > 0 ? 'errors' : warnings > 0 ? 'warnings' : '';
  };

  document.body.append(host);
  comeBack();
  const news = new EventSource(`/.ullage/news?build=${build}&path=${encodeURIComponent(path)}`);
  news.onmessage = ({ data }) => {
    const { changed, counts } = JSON.parse(data);
    show(counts);
    if (!changed) return;
    news.close();
    sessionStorage.setItem(kept, JSON.stringify(place()));
    location.reload();
  };
  news.onerror = () => {
    strip.textContent = 'the preview has ended';
    strip.className = '';
  };
})();

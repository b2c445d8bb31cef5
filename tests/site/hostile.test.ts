/** Text of the journal is data: whatever it holds, a page shows it and does nothing with it. */
import { describe, expect, test } from 'vitest';
import { fixtureBook } from '../report/fixture.ts';
import { hrefsOf, idsOf, siteOf } from './build.ts';

const CORPUS = [
  '<script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  "' onmouseover='alert(1)",
  '</title><script>alert(1)</script>',
  '</svg></desc></text><svg onload=alert(1)>',
  'javascript:alert(1)',
  '[click](javascript:alert(1))',
  '[click](JaVaScRiPt:alert(1)) [tab](java\tscript:alert(1)) [ent](&#106;avascript:alert(1))',
  '![x](https://example.org/pixel.png) ![y](data:image/svg+xml;base64,PHN2Zz4=)',
  '[data](data:text/html,<script>alert(1)</script>) [file](file:///etc/passwd) [host](//example.org/x)',
  '<iframe src="https://example.org"></iframe><style>body{display:none}</style>',
  '<a href="javascript:alert(1)" id="main">x</a> <form action="https://example.org"><input name=x></form>',
  // biome-ignore lint/suspicious/noTemplateCurlyInString: it is what a template might take for its own.
  '<%= it.cellar %> <%~ "raw" %> <% throw 1 %> ${1+1} {{7*7}}',
  '../../x',
  '..\\..\\x',
  'a/../../../b',
  'CON',
  '\u202Eevil\u202C \u2066hidden\u2069 \u0000 \ud800 \uFEFF',
  'A'.repeat(5000),
  'Ƶ'.repeat(300),
  '&lt;b&gt; &amp; &#60;script&#62;',
  '--><!--',
  ']]>',
];

const name = (text: string, more = ''): string => text + more;

describe.each(CORPUS)('%#: hostile text', (text) => {
  test('comes out as text, in every place a page shows it', async () => {
    const files = await siteOf(
      fixtureBook({
        names: {
          cellar: name(text),
          lots: [name(text), name(text, ' free'), name(text, ' bottled')],
          vessel: name(text, ' tank'),
          file: name(text, '.cellar'),
          block: name(text),
          variety: name(text),
          material: name(text),
          note: name(text, '\n\n| a | b |\n|---|---|\n| 1 | 2 |'),
          remark: name(text),
          hand: name(text),
          message: name(text),
        },
      }),
    );
    const paths = files.map(({ path }) => path);
    expect(new Set(paths).size).toBe(paths.length);
    for (const path of paths) expect(path).toMatch(/^(?:[a-z]+\/)?[a-z0-9-]+\.(?:html|css|svg)$/u);
    for (const { path, text: html } of files) {
      if (!path.endsWith('.html')) continue;
      expectHarmless(html, path);
      expect((html.match(/<h1\b/gu) ?? []).length, path).toBe(1);
      expect((html.match(/<\/html>/gu) ?? []).length, path).toBe(1);
      const ids = idsOf(html);
      expect(new Set(ids).size, path).toBe(ids.length);
    }
    const lots = files.find(({ path }) => path === 'lots.html')?.text ?? '';
    // biome-ignore lint/suspicious/noControlCharactersInRegex: a control character is what must not be there.
    expect(lots).not.toMatch(/[\u202A-\u202E\u2066-\u2069\u0000]/u);
  });
});

/** Walks the tags of a page: only elements and attributes that our own templates and notes use may be there. */
function expectHarmless(html: string, path: string): void {
  for (const [tag, element = '', attributes = ''] of html.matchAll(
    /<([a-z][a-z0-9]*)((?:\s+[^\s=>"']+(?:="[^"]*")?)*)\s*\/?>/giu,
  )) {
    expect(ELEMENTS.has(element.toLowerCase()), `${path}: ${tag}`).toBe(true);
    for (const [, attribute = ''] of attributes.matchAll(/([^\s="]+)(?:="[^"]*")?/gu)) {
      expect(attribute, `${path}: ${tag}`).not.toMatch(/^(?:on|style$|src$|srcset$|action$|formaction$|xlink)/iu);
    }
  }
  // What is not a tag of the shape above holds no bracket at all: nothing half open.
  const rest = html
    .replace(/<!doctype html>/u, '')
    .replace(/<\/?[a-z][a-z0-9]*(?:\s+[^\s=>"'<]+(?:="[^"<>]*")?)*\s*\/?>/giu, '');
  expect(rest, path).not.toMatch(/[<]/u);
  for (const href of hrefsOf(html)) {
    expect(href, path).toMatch(/^(?:https?:\/\/|mailto:|#|(?![a-z][a-z0-9+.-]*:|\/|\\))/iu);
    expect(href, path).not.toMatch(/^\s*(?:javascript|data|file|vbscript)\s*:/iu);
  }
}

const ELEMENTS = new Set(
  (
    'html head meta title link body a header p nav ul ol li main footer h1 h2 h3 h4 h5 h6 dl div dt dd span section aside strong ' +
    'svg desc path g circle line text rect table caption thead tbody tfoot tr th td time figure figcaption details summary mark ' +
    'code pre em del sup blockquote hr br'
  ).split(' '),
);
